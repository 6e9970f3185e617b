/** What a form of the shelf sends: its fields by name, as JSON. */

/** @typedef {{name: string, type: string, value: string, checked: boolean, dataset: DOMStringMap}} Field */

/**
 * Give what the fields of a form say. Boxes are yes or no, of radios the chosen one counts; a time of day
 * joins the day that it belongs to, with the offset from UTC of that moment; of a list beside another
 * field, an empty choice says nothing, and another one stands for both.
 * @param {{elements: Iterable<Element> | ArrayLike<Element>}} form
 * @param {(moment: string) => string} offset
 * @returns {Record<string, string | boolean>}
 */
export function sentOf(form, offset) {
  /** @type {Record<string, string | boolean>} */
  const sent = {};
  const fields = /** @type {Field[]} */ (/** @type {unknown} */ (Array.from(form.elements)));
  for (const field of fields) {
    if (!field.name || (field.type === "radio" && !field.checked)) continue;
    sent[field.name] = field.type === "checkbox" ? field.checked : field.value;
  }
  for (const { name, value, dataset } of fields) {
    if (dataset?.timeOf) {
      delete sent[name];
      const day = sent[dataset.timeOf];
      if (value && day) sent[dataset.timeOf] = `${day}T${value}${dataset.offset || offset(`${day}T${value}`)}`;
    }
    if (dataset?.or) delete sent[value ? dataset.or : name];
  }
  return sent;
}

/** The offset from UTC of a moment here, as ``+01:00``. @param {string} moment */
export function offsetHere(moment) {
  const east = -new Date(moment).getTimezoneOffset();
  const two = (/** @type {number} */ n) => String(n).padStart(2, "0");
  return `${east < 0 ? "-" : "+"}${two(Math.floor(Math.abs(east) / 60))}:${two(Math.abs(east) % 60)}`;
}
