// The pressure map: one even hue on a fixed scale, so that a shade means the same on every page.
// A frame is a length, a JSON head, then a byte for each square of both views, 0 for none.

export const EDGES = [0.1, 0.3, 1, 3, 10];

export function readFrame(buffer) {
  const view = new DataView(buffer);
  const size = view.getUint32(0);
  const head = JSON.parse(new TextDecoder().decode(new Uint8Array(buffer, 4, size)));
  let at = 4 + size;
  const bytes = ([columns, rows]) => {
    const part = new Uint8Array(buffer, at, columns * rows);
    at += columns * rows;
    return { columns, rows, values: part };
  };
  return { ...head, above: bytes(head.above), front: bytes(head.front) };
}

// Paints bytes row by row from the top; a canvas is stretched over its view by the style sheet.
export function paint(canvas, { columns, rows, values }, hue) {
  if (canvas.width !== columns || canvas.height !== rows) [canvas.width, canvas.height] = [columns, rows];
  const context = canvas.getContext('2d');
  const image = context.createImageData(columns, rows);
  for (let k = 0; k < values.length; k += 1) {
    image.data.set(hue, 4 * k);
    image.data[4 * k + 3] = Math.round(0.82 * values[k]);
  }
  context.putImageData(image, 0, 0);
}

// The deep-water hue of the page as three bytes.
export function hueOf(element) {
  const probe = document.createElement('span');
  probe.className = 'deep';
  element.append(probe);
  const parts = getComputedStyle(probe).color.match(/[\d.]+/g).slice(0, 3).map(Number);
  probe.remove();
  return parts;
}
