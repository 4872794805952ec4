// Sums typed on the strip beside an exercise: + - * / ^ ( ) sqrt pi, and ans for the result before. Nothing is evaluated:
// the text is cut into marks and read by hand. What cannot be read gives null.
const LONGEST = 200;
const MARK = /\s*(?:(\d+(?:\.\d*)?(?:e[-+]?\d{1,2})?|\.\d+)|(sqrt|pi|ans)|([-+*/^()]))/y;
const SAME = { "−": "-", "–": "-", "×": "*", "·": "*", "÷": "/", ":": "/", "√": "sqrt", "π": "pi" };

const marks = (text, comma) => {
  let plain = text.replace(/(?<=\d)[ \u202f\u00a0'](?=\d{3}(?!\d))/g, "").replace(/[−–×·÷:√π]/g, (sign) => SAME[sign]);
  if (comma) plain = plain.replaceAll(",", ".");
  plain = plain.toLowerCase().trimEnd();
  const found = [];
  MARK.lastIndex = 0;
  while (MARK.lastIndex < plain.length) {
    const mark = MARK.exec(plain);
    if (!mark) return null;
    found.push(mark[1] === undefined ? mark[2] ?? mark[3] : Number(mark[1]));
  }
  return found;
};

export const reckon = (text, { comma = false, before = NaN } = {}) => {
  const found = text.length <= LONGEST ? marks(text, comma) : null;
  if (!found?.length) return null;
  let at = 0;
  const took = (mark) => found[at] === mark && ++at > 0;
  const atom = () => {
    if (typeof found[at] === "number") return found[at++];
    if (took("pi")) return Math.PI;
    if (took("ans")) return before;
    if (took("sqrt")) return Math.sqrt(atom());
    if (!took("(")) return NaN;
    const inside = sum();
    return took(")") ? inside : NaN;
  };
  const signed = () => took("-") ? -signed() : took("+") ? signed() : power();
  const power = () => {
    const base = atom();
    return took("^") ? base ** signed() : base;
  };
  const product = () => {
    let value = signed();
    for (;;) {
      if (took("*")) value *= signed();
      else if (took("/")) value /= signed();
      else return value;
    }
  };
  const sum = () => {
    let value = product();
    for (;;) {
      if (took("+")) value += product();
      else if (took("-")) value -= product();
      else return value;
    }
  };
  const value = sum();
  return at === found.length && Number.isFinite(value) ? value : null;
};

// Six figures, without zeros that say nothing, in the sign of the person's habit.
export const written = (value, comma = false) => {
  const text = String(Number(value.toPrecision(6)));
  return comma ? text.replace(".", ",") : text;
};
