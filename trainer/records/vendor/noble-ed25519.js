/*! noble-ed25519 - MIT License (c) 2019 Paul Miller (paulmillr.com) */
const freeze = Object.freeze;
const P = 0x7fffffffffffffffffffffffffffffffffffffffffffffffffffffffffffffedn;
const N = 0x1000000000000000000000000000000014def9dea2f79cd65812631a5cf5d3edn;
const _d = 0x52036cee2b6ffe738cc740797779e89800700a4d4141d8ab75eb4dca135978a3n;
const Gx = 0x216936d3cd6e53fec0a4e231fdd6dc5c692cc7609525a7b2c9562d608f25d51an;
const Gy = 0x6666666666666666666666666666666666666666666666666666666666666658n;
const _a = P - 1n; // field-element encoding of RFC `a = -1`
const ed25519_CURVE = freeze({
    p: P,
    n: N,
    h: 8n,
    a: _a,
    d: _d,
    Gx,
    Gy,
});
const LEN = 32;
const isBytes = (a) => {
    return (a instanceof Uint8Array ||
        (ArrayBuffer.isView(a) &&
            a.constructor.name === 'Uint8Array' &&
            a.BYTES_PER_ELEMENT === 1));
};
const abytes = (value, length, title = '') => {
    if (isBytes(value) && (length === undefined || value.length === length))
        return value;
    const bytes = isBytes(value);
    const ofLen = length !== undefined ? ` of length ${length}` : '';
    const got = bytes ? `length=${value.length}` : `type=${typeof value}`;
    const message = (title ? `"${title}" ` : '') + 'expected Uint8Array' + ofLen + ', got ' + got;
    if (!bytes)
        throw new TypeError(message);
    throw new RangeError(message);
};
const snapshotBytes = (value, title = '', length) => Uint8Array.from(abytes(value, length, title));
const padh = (n, pad) => n.toString(16).padStart(pad, '0');
const bytesToHex = (bytes) => {
    let hex = '';
    for (const byte of abytes(bytes))
        hex += padh(byte, 2);
    return hex;
};
const hexToBytes = (hex) => {
    const e = 'hex invalid'; // Strict ASCII hex only, with one generic error for parse failures.
    if (typeof hex !== 'string')
        throw new TypeError(e);
    if (hex.length % 2 || !/^[\da-f]*$/i.test(hex))
        throw new RangeError(e);
    const array = new Uint8Array(hex.length / 2);
    for (let ai = 0, hi = 0; ai < array.length; ai++, hi += 2) {
        const n1 = hex.charCodeAt(hi);
        const n2 = hex.charCodeAt(hi + 1);
        array[ai] = ((n1 & 15) + (n1 >> 6) * 9) * 16 + (n2 & 15) + (n2 >> 6) * 9;
    }
    return array;
};
const concatBytes = (...arrays) => {
    let sum = 0;
    for (const a of arrays)
        sum += abytes(a).length;
    const res = new Uint8Array(sum);
    let pad = 0;
    for (const a of arrays) {
        res.set(a, pad);
        pad += a.length;
    }
    return res;
};
const randomBytes = (len = LEN) => {
    const c = globalThis?.crypto;
    if (typeof c?.getRandomValues !== 'function')
        throw new Error('crypto.getRandomValues must be defined, consider polyfill');
    return c.getRandomValues(new Uint8Array(len));
};
const arange = (n, min, max, msg = 'bad number: out of range') => {
    if (typeof n !== 'bigint')
        throw new TypeError(msg);
    if (min <= n && n < max)
        return n;
    throw new RangeError(msg);
};
const mod = (a, b = P) => ((a %= b) >= 0n ? a : b + a);
const P_MASK = (1n << 255n) - 1n;
const modP = (num) => {
    if (num < 0n)
        throw new RangeError('negative coordinate');
    let r = (num >> 255n) * 19n + (num & P_MASK);
    r = (r >> 255n) * 19n + (r & P_MASK);
    return r % P;
};
const modN = (a) => mod(a, N);
const invert = (number, modulo) => {
    if (number === 0n)
        throw new Error('invert: expected non-zero number');
    if (modulo <= 1n)
        throw new Error('invert: expected modulus > 1, got ' + modulo);
    let a = mod(number, modulo);
    let b = modulo;
    let x = 0n, u = 1n;
    while (a !== 0n) {
        const q = b / a;
        const r = b - a * q;
        const m = x - u * q;
        b = a, a = r, x = u, u = m;
    }
    const gcd = b;
    if (gcd !== 1n)
        throw new Error('invert: does not exist');
    return mod(x, modulo);
};
const _hash = (name) => {
    const fn = hashes[name];
    if (typeof fn !== 'function')
        throw new Error('hashes.' + name + ' not set');
    return fn;
};
const callHash = (name, ...m) => abytes(_hash(name)(concatBytes(...m)), 64, 'digest');
const callHashAsync = async (name, ...m) => abytes(await _hash(name)(concatBytes(...m)), 64, 'digest');
const hash = (msg) => callHash('sha512', abytes(msg, undefined, 'message'));
const apoint = (p) => {
    if (p instanceof Point)
        return p;
    throw new TypeError('Point expected');
};
const B256 = 2n ** 256n;
class Point {
    static BASE;
    static ZERO;
    X;
    Y;
    Z;
    T;
    constructor(X, Y, Z, T) {
        const max = B256;
        this.X = arange(X, 0n, max);
        this.Y = arange(Y, 0n, max);
        this.Z = arange(Z, 1n, max);
        this.T = arange(T, 0n, max);
        freeze(this);
    }
    static CURVE() {
        return ed25519_CURVE;
    }
    static fromAffine(p) {
        return new Point(p.x, p.y, 1n, modP(p.x * p.y));
    }
    static fromBytes(bytes, zip215 = false) {
        const normed = snapshotBytes(bytes, 'point', LEN); // owned copy: sign-bit mask below mutates it
        const lastByte = normed[31];
        normed[31] = lastByte & ~0x80;
        const y = bytesToNumberLE(normed);
        if (!zip215)
            arange(y, 0n, P);
        const y2 = modP(y * y); // y²
        const u = mod(y2 - 1n); // u=y²-1
        const v = modP(_d * y2 + 1n); // v=dy²+1
        let { isValid, value: x } = uvRatio(u, v); // (uv³)(uv⁷)^(p-5)/8; square root
        if (!isValid)
            throw new Error('bad point: y not sqrt'); // not square root: bad point
        const isLastByteOdd = !!(lastByte & 0x80); // x_0, last bit
        if (!zip215 && x === 0n && isLastByteOdd)
            throw new Error('bad point: x==0, isLastByteOdd'); // x=0, x_0=1
        if (isLastByteOdd !== !!(x & 1n))
            x = mod(-x); // adjust sign of x coordinate
        return new Point(x, y, 1n, modP(x * y)); // Z=1, T=xy
    }
    static fromHex(hex, zip215) {
        return Point.fromBytes(hexToBytes(hex), zip215);
    }
    get x() {
        return this.toAffine().x;
    }
    get y() {
        return this.toAffine().y;
    }
    assertValidity() {
        const a = _a;
        const d = _d;
        const p = this;
        if (p.is0())
            throw new Error('bad point: ZERO');
        const { X, Y, Z, T } = p;
        const X2 = modP(X * X); // X²
        const Y2 = modP(Y * Y); // Y²
        const Z2 = modP(Z * Z); // Z²
        const Z4 = modP(Z2 * Z2); // Z⁴
        const aX2 = modP(X2 * a); // aX²
        const left = modP(Z2 * (aX2 + Y2)); // (aX² + Y²)Z²
        const right = mod(Z4 + modP(d * modP(X2 * Y2))); // Z⁴ + dX²Y²
        if (left !== right)
            throw new Error('bad point: equation left != right (1)');
        const XY = modP(X * Y);
        const ZT = modP(Z * T);
        if (XY !== ZT)
            throw new Error('bad point: equation left != right (2)');
        return this;
    }
    equals(other) {
        const { X: X1, Y: Y1, Z: Z1 } = this;
        const { X: X2, Y: Y2, Z: Z2 } = apoint(other); // checks class equality
        return modP(X1 * Z2) === modP(X2 * Z1) && modP(Y1 * Z2) === modP(Y2 * Z1);
    }
    is0() {
        return this.equals(I);
    }
    negate() {
        return new Point(mod(-this.X), this.Y, this.Z, mod(-this.T));
    }
    double() {
        const { X: X1, Y: Y1, Z: Z1 } = this;
        const a = _a;
        const A = modP(X1 * X1);
        const B = modP(Y1 * Y1);
        const C = modP(2n * Z1 * Z1);
        const D = modP(a * A);
        const x1y1 = mod(X1 + Y1);
        const E = mod(modP(x1y1 * x1y1) - A - B);
        const G = mod(D + B);
        const F = mod(G - C);
        const H = mod(D - B);
        const X3 = modP(E * F);
        const Y3 = modP(G * H);
        const T3 = modP(E * H);
        const Z3 = modP(F * G);
        return new Point(X3, Y3, Z3, T3);
    }
    add(other) {
        const { X: X1, Y: Y1, Z: Z1, T: T1 } = this;
        const { X: X2, Y: Y2, Z: Z2, T: T2 } = apoint(other); // doesn't check if other on-curve
        const a = _a;
        const d = _d;
        const A = modP(X1 * X2);
        const B = modP(Y1 * Y2);
        const C = modP(modP(T1 * d) * T2);
        const D = modP(Z1 * Z2);
        const E = mod(modP(mod(X1 + Y1) * mod(X2 + Y2)) - A - B);
        const F = mod(D - C);
        const G = mod(D + C);
        const H = mod(B - modP(a * A));
        const X3 = modP(E * F);
        const Y3 = modP(G * H);
        const T3 = modP(E * H);
        const Z3 = modP(F * G);
        return new Point(X3, Y3, Z3, T3);
    }
    subtract(other) {
        return this.add(apoint(other).negate());
    }
    multiply(n, safe = true) {
        if (!safe && n === 0n)
            return I;
        arange(n, 1n, N);
        if (!safe && this.is0())
            return I;
        if (n === 1n)
            return this;
        if (this.equals(G))
            return wNAF(n).p;
        let p = I;
        let f = G;
        let d = this;
        for (let i = 0; safe ? i < 256 : n > 0n; i++) {
            if (n & 1n)
                p = p.add(d);
            else if (safe)
                f = f.add(d);
            d = d.double();
            n >>= 1n;
        }
        return p;
    }
    multiplyUnsafe(scalar) {
        return this.multiply(scalar, false);
    }
    toAffine() {
        const { X, Y, Z } = this;
        if (this.equals(I))
            return { x: 0n, y: 1n };
        const iz = invert(Z, P);
        if (modP(Z * iz) !== 1n)
            throw new Error('invalid inverse');
        return { x: modP(X * iz), y: modP(Y * iz) };
    }
    toBytes() {
        const { x, y } = this.toAffine();
        const b = numTo32bLE(y);
        b[31] |= x & 1n ? 0x80 : 0;
        return b;
    }
    toHex() {
        return bytesToHex(this.toBytes());
    }
    clearCofactor() {
        return this.multiply(8n, false); // h = 8
    }
    isSmallOrder() {
        return this.clearCofactor().is0();
    }
    isTorsionFree() {
        return this.multiply(N / 2n, false)
            .double()
            .add(this)
            .is0();
    }
}
const G = new Point(Gx, Gy, 1n, mod(Gx * Gy));
const I = new Point(0n, 1n, 1n, 0n);
Point.BASE = G;
Point.ZERO = I;
const numTo32bLE = (num) => hexToBytes(padh(arange(num, 0n, B256), 64)).reverse();
const bytesToNumberLE = (b) => BigInt('0x' + bytesToHex(Uint8Array.from(abytes(b)).reverse()));
const pow2 = (x, power) => {
    let r = x;
    while (power-- > 0) {
        r = modP(r * r);
    }
    return r;
};
const pow_2_252_3 = (x) => {
    const x2 = modP(x * x); // x^2,       bits 1
    const b2 = modP(x2 * x); // x^3,       bits 11
    const b4 = modP(pow2(b2, 2) * b2); // x^(2^4-1), bits 1111
    const b5 = modP(pow2(b4, 1) * x); // x^(2^5-1), bits 11111
    const b10 = modP(pow2(b5, 5) * b5); // x^(2^10-1)
    const b20 = modP(pow2(b10, 10) * b10); // x^(2^20-1)
    const b40 = modP(pow2(b20, 20) * b20); // x^(2^40-1)
    const b80 = modP(pow2(b40, 40) * b40); // x^(2^80-1)
    const b160 = modP(pow2(b80, 80) * b80); // x^(2^160-1)
    const b240 = modP(pow2(b160, 80) * b80); // x^(2^240-1)
    const b250 = modP(pow2(b240, 10) * b10); // x^(2^250-1)
    return modP(pow2(b250, 2) * x); // x^((p-5)/8), used by RFC8032 point decode
};
const RM1 = 0x2b8324804fc1df0b2b4d00993dfbd7a72f431806ad2fe478c4ee1b274a0ea0b0n; // 2^((p-1)/4) = sqrt(-1)
const uvRatio = (u, v) => {
    const v3 = modP(v * modP(v * v)); // v³
    const v7 = modP(modP(v3 * v3) * v); // v⁷
    const pow = pow_2_252_3(modP(u * v7)); // (uv⁷)^(p-5)/8
    let x = modP(u * modP(v3 * pow)); // (uv³)(uv⁷)^(p-5)/8
    const vx2 = modP(v * modP(x * x)); // vx²
    const root1 = x; // First root candidate
    const root2 = modP(x * RM1); // Second root candidate; RM1 is √-1
    const useRoot1 = vx2 === u; // If vx² = u (mod p), x is a square root
    const useRoot2 = vx2 === mod(-u); // If vx² = -u, set x <-- x * 2^((p-1)/4)
    const noRoot = vx2 === mod(-u * RM1); // There is no valid root, vx² = -u√-1
    if (useRoot1)
        x = root1;
    if (useRoot2 || noRoot)
        x = root2; // We return root2 anyway, for const-time
    if ((mod(x) & 1n) === 1n)
        x = mod(-x); // edIsNegative
    return { isValid: useRoot1 || useRoot2, value: x };
};
const modL_LE = (hash) => modN(bytesToNumberLE(hash));
const hashedToExtK = (hashed) => {
    const copy = snapshotBytes(hashed);
    const head = copy.slice(0, 32);
    head[0] &= 248; // Clamp bits: 0b1111_1000
    head[31] &= 127; // 0b0111_1111
    head[31] |= 64; // 0b0100_0000
    const prefix = copy.slice(32); // secret key "prefix"
    const scalar = modL_LE(head);
    const point = G.multiply(scalar); // public key point
    const pointBytes = point.toBytes(); // point serialized to Uint8Array
    return { head, prefix, scalar, point, pointBytes };
};
const getExtendedPublicKeyAsync = (secretKey) => callHashAsync('sha512Async', abytes(secretKey, LEN, 'secretKey')).then(hashedToExtK);
const getExtendedPublicKey = (secretKey) => hashedToExtK(callHash('sha512', abytes(secretKey, LEN, 'secretKey')));
const getPublicKeyAsync = (secretKey) => getExtendedPublicKeyAsync(secretKey).then((p) => p.pointBytes);
const getPublicKey = (secretKey) => getExtendedPublicKey(secretKey).pointBytes;
const hashFinishAsync = async (res) => res[1](await callHashAsync('sha512Async', res[0]));
const hashFinishSync = (res) => res[1](callHash('sha512', res[0]));
const _sign = (e, rBytes, msg) => {
    const { pointBytes: A, scalar: s } = e;
    const r = modL_LE(rBytes); // r was created outside, reduce it modulo L
    const R = G.multiply(r).toBytes(); // R = [r]B
    const hashable = concatBytes(R, A, msg); // dom2(F, C) || R || A || PH(M)
    const finish = (hashed) => {
        const S = modN(r + modL_LE(hashed) * s); // S = (r + k * s) mod L; 0 <= s < l
        return abytes(concatBytes(R, numTo32bLE(S)), 64); // 64-byte sig: 32-byte encoded R point || 32-byte LE(S)
    };
    return [hashable, finish];
};
const signAsync = async (message, secretKey) => {
    const m = snapshotBytes(message, 'message');
    const e = await getExtendedPublicKeyAsync(secretKey);
    return hashFinishAsync(_sign(e, await callHashAsync('sha512Async', e.prefix, m), m));
};
const sign = (message, secretKey) => {
    const m = snapshotBytes(message, 'message');
    const e = getExtendedPublicKey(secretKey);
    return hashFinishSync(_sign(e, callHash('sha512', e.prefix, m), m));
};
const getZip215 = (options) => {
    if (options === null || typeof options !== 'object')
        throw new TypeError('expected valid options object');
    return options.zip215 ?? true;
};
const _verify = (sig, msg, publicKey, options) => {
    sig = abytes(sig, 64, 'signature'); // Signature hex str/Bytes, must be 64 bytes
    msg = abytes(msg, undefined, 'message'); // Message hex str/Bytes
    publicKey = abytes(publicKey, LEN, 'publicKey');
    const zip215 = getZip215(options);
    const r = sig.subarray(0, LEN);
    const s = bytesToNumberLE(sig.subarray(LEN, 64)); // Decode second half as an integer S;
    let A, R, SB;
    let hashable = Uint8Array.of();
    let finished = false;
    try {
        A = Point.fromBytes(publicKey, zip215);
        R = Point.fromBytes(r, zip215);
        SB = G.multiply(s, false); // 0 <= s < l is done inside
        hashable = concatBytes(r, publicKey, msg); // dom2(F, C) || R || A || PH(M)
        finished = true;
    }
    catch (error) { }
    const finish = (hashed) => {
        if (!finished)
            return false;
        if (!zip215 && A.isSmallOrder())
            return false;
        const k = modL_LE(hashed);
        const RkA = R.add(A.multiply(k, false));
        return RkA.subtract(SB).clearCofactor().is0();
    };
    return [hashable, finish];
};
const verifyAsync = async (signature, message, publicKey, opts = {}) => hashFinishAsync(_verify(signature, message, publicKey, opts));
const verify = (signature, message, publicKey, opts = {}) => hashFinishSync(_verify(signature, message, publicKey, opts));
const etc = /* @__PURE__ */ freeze({
    bytesToHex,
    hexToBytes,
    concatBytes,
    mod,
    invert,
    randomBytes,
});
const hashes = {
    sha512Async: async (message) => {
        const s = globalThis?.crypto?.subtle;
        if (!s)
            throw new Error('crypto.subtle must be defined, consider polyfill');
        return new Uint8Array(await s.digest('SHA-512', concatBytes(message)));
    },
    sha512: undefined,
};
const randomSecretKey = (seed) => {
    return abytes(seed === undefined ? randomBytes() : seed, LEN, 'seed');
};
const keygen = (seed) => {
    const secretKey = randomSecretKey(seed);
    const publicKey = getPublicKey(secretKey);
    return { secretKey, publicKey };
};
const keygenAsync = async (seed) => {
    const secretKey = randomSecretKey(seed);
    const publicKey = await getPublicKeyAsync(secretKey);
    return { secretKey, publicKey };
};
const utils = /* @__PURE__ */ freeze({
    getExtendedPublicKeyAsync,
    getExtendedPublicKey,
    randomSecretKey,
});
const precompute = () => {
    const points = [];
    let p = G;
    let b;
    for (let w = 0; w < 33; w++) {
        b = p;
        points.push(b);
        for (let i = 1; i < 128; i++) {
            b = b.add(p);
            points.push(b);
        } // i=1, bc we skip 0
        p = b.double();
    }
    return points;
};
let Gpows = undefined; // shared process-wide cache of base-point precomputes
const ctneg = (cnd, p) => {
    const n = p.negate();
    return cnd ? n : p;
};
const wNAF = (n) => {
    const comp = Gpows || (Gpows = precompute());
    let p = I;
    let f = G; // f must be G, or could become I in the end
    for (let w = 0; w < 33; w++) {
        let wbits = Number(n & 255n); // extract W=8 bits.
        n >>= 8n; // shift number by W=8 bits.
        if (wbits > 128) {
            wbits -= 256;
            n += 1n;
        }
        const off = w * 128; // offset of this window's block; also the fake-add index
        const offP = off + Math.abs(wbits) - 1; // real-add index; both offsets always evaluated
        const isOddW = w % 2 !== 0; // conditions, evaluate both; alternates fake-add sign per window
        const isNeg = wbits < 0;
        if (wbits === 0) {
            f = f.add(ctneg(isOddW, comp[off])); // bits are 0: add garbage to fake point
        }
        else {
            p = p.add(ctneg(isNeg, comp[offP])); // bits are 1: add to result point
        }
    }
    if (n !== 0n)
        throw new Error('invalid wnaf');
    return { p, f }; // return both real and fake points for JIT/leakage-shape symmetry
};
