// Reads the symbols in pictures, in a worker of its own so that the page stays quick. It
// runs the vendored reader (vendor/zxing-wasm); no picture leaves the device.

const VENDORED = "/static/vendor/zxing-wasm/";

importScripts(`${VENDORED}zxing_reader.js`);
ZXingWASM.prepareZXingModule({ overrides: { locateFile: (name) => VENDORED + name } });

const HOW = {
  // What lids bear (docs/labels.md). More kinds would make each look longer.
  formats: ["QRCode", "Code128", "DataMatrix"],
  // As sent, separators included, and not as printed for people.
  textMode: "Plain",
  // Labels are printed dark on light.
  tryInvert: false,
  maxNumberOfSymbols: 8,
};

addEventListener("message", async ({ data: { id, pixels, width, height } }) => {
  try {
    const picture = new ImageData(new Uint8ClampedArray(pixels), width, height);
    const found = await ZXingWASM.readBarcodes(picture, HOW);
    // With the AIM identifier in front, as a scanner sends it.
    postMessage({ id, lines: found.map((symbol) => symbol.symbologyIdentifier + symbol.text) });
  } catch (error) {
    postMessage({ id, why: String(error) });
  }
});
