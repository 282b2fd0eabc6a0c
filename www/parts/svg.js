// Pictures are drawn from data, element by element; their looks stand in the style sheets.
const SVG = "http://www.w3.org/2000/svg";

/**
 * @param {string} tag
 * @param {Record<string, string | number>} attributes
 * @param {(Node | string)[]} inside
 * @returns {SVGElement}
 */
export function svg(tag, attributes, ...inside) {
  const node = document.createElementNS(SVG, tag);
  for (const [name, value] of Object.entries(attributes)) {
    node.setAttribute(
      name,
      typeof value === "number" ? String(Math.round(value * 10) / 10) : value,
    );
  }
  node.append(...inside);
  return node;
}

/** Widths that differ by less need no new picture. */
const SLACK = 8;

/**
 * A picture that is drawn anew when there is more or less room for it.
 * @param {(width: number) => SVGElement} draw
 */
export function drawn(draw) {
  const holder = document.createElement("div");
  let room = 352;
  holder.className = "picture";
  holder.append(draw(room));
  new ResizeObserver(([{ contentRect }]) => {
    const width = Math.round(contentRect.width);
    if (width === 0 || Math.abs(width - room) < SLACK) return;
    room = width;
    holder.replaceChildren(draw(room));
  }).observe(holder);
  return holder;
}

/** @param {[number, number][]} points */
export const path = (points) =>
  `M${points.map(([x, y]) => `${x.toFixed(1)} ${y.toFixed(1)}`).join("L")}`;
