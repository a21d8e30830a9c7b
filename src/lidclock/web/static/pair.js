// A pairing's secret stands behind the # of its address: no server is asked for it and
// no log holds it. It goes into the form, and out of the address and the history.
const field = document.querySelector("#secret");
const secret = location.hash.slice(1);

if (field instanceof HTMLInputElement && secret) {
  field.value = secret.slice(0, field.maxLength);
  history.replaceState(null, "", location.pathname);
  document.querySelector("#name")?.focus();
}
