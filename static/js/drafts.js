// A half-filled form of the round outlives a reload: each change is kept until it
// is sent. A drop-off is not: the next hunter would find the phone number of one
// who went away again. Its name says what the form is of, the carcass too, and not
// which one of the page it is: each step that is done leaves the page, and what was
// tapped for one carcass would stand at another. The hidden fields are the page's own.
const drafted = () => location.pathname.startsWith("/round") && location.pathname !== "/round/drop";
const draftName = (form) => {
  const { single, number, step } = form.elements;
  return [location.pathname + "#" + form.getAttribute("action"), step?.value, single && number.value].filter(Boolean).join(" ");
};
// A draft is filled in again for four hours, which is as long as a round's window is:
// in the evening the morning's temperatures would stand there as if just read.
const draftLasts = 4 * 3600000;
const noteDraft = async (event) => {
  const form = event.target.closest?.("form[data-offline]");
  if (form && drafted()) {
    await kept.put("drafts", { page: draftName(form), at: Date.now(), fields: await kept.fields(form) });
  }
};
document.addEventListener("change", noteDraft);
const fillDraft = async (form) => {
  if (!drafted()) {
    return;
  }
  const draft = await kept.get("drafts", draftName(form));
  if (!draft || Date.now() - draft.at > draftLasts) {
    return;
  }
  for (const [name, value] of draft.fields) {
    for (const field of [...form.elements].filter((e) => e.name === name && e.type !== "hidden")) {
      if (field.type === "radio" || field.type === "checkbox") {
        field.checked ||= field.value === value;
      } else if (field.type !== "file") {
        field.value = value;
      } else {
        const files = new DataTransfer();
        files.items.add(new File([value], "picture.jpg", { type: value.type }));
        field.files = files.files;
      }
    }
  }
};
