// UUIDv7 (RFC 9562, section 5.7): 48 bits of milliseconds, then a counter, then chance.
// Ids made one after another sort in that order, within a millisecond too and where the
// clock was set back meanwhile (section 6.2, method 1: a counter of 12 bits).

let lastMs = 0;
let counter = 0;

export function uuid7(now = Date.now()) {
  const bytes = crypto.getRandomValues(new Uint8Array(16));
  if (now > lastMs) {
    lastMs = now;
    // Its highest bit clear, so that there is room to count up.
    counter = ((bytes[6] << 8) | bytes[7]) & 0x7ff;
  } else if (++counter > 0xfff) {
    lastMs += 1;
    counter = 0;
  }
  let rest = lastMs;
  for (let place = 5; place >= 0; place -= 1) {
    bytes[place] = rest % 256;
    rest = Math.floor(rest / 256);
  }
  bytes[6] = 0x70 | (counter >> 8);
  bytes[7] = counter & 0xff;
  bytes[8] = 0x80 | (bytes[8] & 0x3f);
  const hex = [...bytes].map((byte) => byte.toString(16).padStart(2, "0")).join("");
  return [hex.slice(0, 8), hex.slice(8, 12), hex.slice(12, 16), hex.slice(16, 20), hex.slice(20)].join("-");
}
