// Narrows a list of drills while words are typed. Without scripts the press Search does it on the server.
for (const list of document.querySelectorAll("[data-sift]")) {
  const field = list.querySelector("input[type=search]");
  const says = list.querySelector("[data-sift-says]");
  const topics = [...list.querySelectorAll("details")];
  const before = topics.map((topic) => topic.open);
  list.querySelector("button[value=search]")?.closest(".actions").remove();

  const sift = () => {
    const words = field.value.toLowerCase().split(/\s+/).filter(Boolean);
    let any = false;
    topics.forEach((topic, at) => {
      let left = 0;
      for (const row of topic.querySelectorAll("li[data-words]")) {
        const stays = row.querySelector("input")?.checked || words.every((word) => row.dataset.words.includes(word));
        row.hidden = !stays;
        left += stays;
      }
      topic.hidden = left === 0;
      topic.open = words.length ? left > 0 : before[at];
      any ||= left > 0;
    });
    says.hidden = any;
  };
  field.addEventListener("input", sift);
  if (field.value) sift(); // typed before this script was there
  field.addEventListener("keydown", (event) => { if (event.key === "Enter") event.preventDefault(); });
}
