// Asks two programs that are none of ours what they think of GS1 messages and Digital Link addresses. Reads a JSON list of
// { uri } or { bracketed, data } from standard input, data with GS as separator; writes a list of { fault, values }.
const bwip = require('bwip-js');
const { parseBarcode } = require('gs1-barcode-parser-mod');

// Draws only what its syntax dictionary allows; otherwise it throws an error whose name begins with GS1. Data Matrix is checked
// the hardest: bars may leave out what stands in another symbol beside them.
function draw(code, text) {
  bwip.raw({ bcid: code, text });
}

function check({ uri, bracketed, data }) {
  try {
    if (uri) {
      draw('gs1dlqrcode', uri);
      return { fault: null, values: [] };
    }
    draw('gs1datamatrix', bracketed);
    return { fault: null, values: parseBarcode(']d2' + data).parsedCodeItems.map(item => `(${item.ai})${item.raw}`) };
  } catch (error) {
    return { fault: String(error.message || error), values: [] };
  }
}

let input = '';
process.stdin.on('data', part => { input += part; });
process.stdin.on('end', () => process.stdout.write(JSON.stringify(JSON.parse(input).map(check))));
