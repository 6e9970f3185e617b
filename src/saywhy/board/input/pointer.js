/** Mouse, pen and touch on the board become intents: press selects, drawing on selects along the way. */

/**
 * @param {HTMLElement} grid @param {number} size
 * @param {{down: (cell: number, more: boolean, spot: [number, number]) => void, over: (cell: number) => void,
 *   up: () => void}} intents `spot` is where in the cell, 0 to 1 across and down
 * @returns {() => void} takes the listeners away again
 */
export function bindPointer(grid, size, intents) {
  let held = -1;
  /** @param {PointerEvent} event @returns {[number, [number, number]]} */
  const find = (event) => {
    const { left, top, width, height } = grid.getBoundingClientRect();
    const [x, y] = [((event.clientX - left) / width) * size, ((event.clientY - top) / height) * size];
    const [column, row] = [Math.floor(x), Math.floor(y)];
    const inside = column >= 0 && column < size && row >= 0 && row < size;
    return [inside ? row * size + column : -1, [x - column, y - row]];
  };
  /** @param {PointerEvent} event */
  const down = (event) => {
    const [cell, spot] = find(event);
    if (event.button || cell < 0) return;
    held = event.pointerId;
    grid.setPointerCapture(held);
    intents.down(cell, event.ctrlKey || event.metaKey || event.shiftKey, spot);
    event.preventDefault();
  };
  /** @param {PointerEvent} event */
  const move = (event) => {
    if (event.pointerId !== held) return;
    const [cell, [x, y]] = find(event);
    // The corners of a cell belong to nobody while drawing, so that diagonals can be drawn.
    if (cell >= 0 && Math.abs(x - 0.5) < 0.38 && Math.abs(y - 0.5) < 0.38) intents.over(cell);
  };
  /** @param {PointerEvent} event */
  const up = (event) => {
    if (event.pointerId !== held) return;
    held = -1;
    intents.up();
  };
  grid.addEventListener("pointerdown", down);
  grid.addEventListener("pointermove", move);
  grid.addEventListener("pointerup", up);
  grid.addEventListener("pointercancel", up);
  return () => {
    grid.removeEventListener("pointerdown", down);
    grid.removeEventListener("pointermove", move);
    grid.removeEventListener("pointerup", up);
    grid.removeEventListener("pointercancel", up);
  };
}
