// Two clicks send a form once: much of what the desk writes cannot be taken back.
const REST_MS = 4000; // a form whose answer never came can be sent again

export function sendOnce(root) {
  const sent = new WeakMap();
  root.addEventListener("submit", (event) => {
    const { target: form, timeStamp } = event;
    if (event.defaultPrevented || form.method !== "post") return;
    if (timeStamp - sent.get(form) < REST_MS) event.preventDefault();
    else sent.set(form, timeStamp);
  });
}
