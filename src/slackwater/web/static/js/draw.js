// Making SVG: elements with attributes, never from text.

const SVG = 'http://www.w3.org/2000/svg';

export function make(name, attributes = {}, ...children) {
  const element = document.createElementNS(SVG, name);
  for (const [key, value] of Object.entries(attributes)) element.setAttribute(key, value);
  element.append(...children);
  return element;
}

export const cm = (value) => (Math.round(value * 10) / 10).toString();

// Where a pointer is, in the drawing's own centimetres.
export function pointAt(svg, event) {
  const matrix = svg.getScreenCTM();
  return matrix ? new DOMPoint(event.clientX, event.clientY).matrixTransform(matrix.inverse()) : null;
}
