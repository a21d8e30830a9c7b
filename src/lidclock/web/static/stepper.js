// Buttons to count with, beside a number: for wet hands. Without scripts the number does.
export function addSteps(box) {
  const input = box.querySelector("input");
  const add = (words, step, before) => {
    const button = document.createElement("button");
    button.type = "button";
    button.className = "other";
    button.textContent = words;
    button.setAttribute("aria-label", `${input.labels[0].textContent.trim()} ${words}1`);
    button.addEventListener("click", () => {
      step > 0 ? input.stepUp() : input.stepDown();
    });
    box.insertBefore(button, before);
  };
  add("−", -1, box.firstElementChild);
  add("+", 1, null);
}
