/**
 * The words of the board: what a state, a claim, an act and a mark are. Types only.
 *
 * Cells are indices row by row from 0 in code and `r1c1` in acts; digits are 1 to the size of the grid.
 */

/** @typedef {"digit" | "options" | "tie" | "sum" | "tint"} Pen */
/** @typedef {"low" | "high" | "odd" | "even"} Trait */
/** @typedef {"look" | "because" | "result"} Role */

/** A digit that is in one of these cells. @typedef {{cells: readonly number[], digit: number}} Tie */
/** Cells and what they sum to. @typedef {{cells: readonly number[], total: number}} Sum */

/**
 * What a solver has written. Every array has one entry a cell and is never changed in place.
 * @typedef {object} Claims
 * @property {readonly number[]} digits digit, or 0
 * @property {readonly number[]} options mask of the digits the cell may still be (bit d - 1 is digit d), or 0
 * @property {readonly number[]} traits mask of TRAITS, or 0
 * @property {readonly number[]} tints tint from 1 to 6, or 0
 * @property {readonly Tie[]} ties in the order in which they were made
 * @property {readonly Sum[]} sums in the order in which they were made
 */

/**
 * One line of a recording, as `saywhy.recording.acts` names its fields.
 * @typedef {object} Act
 * @property {number} t seconds since the start; acts of one gesture share it
 * @property {"place" | "erase" | "options" | "tie" | "sum" | "trait" | "tint" | "undo" | "redo" | "marker"
 *   | "pause" | "resume" | "finish"} do
 * @property {string} [cell]
 * @property {string[]} [cells]
 * @property {number} [digit]
 * @property {number[]} [digits]
 * @property {number | null} [total]
 * @property {Trait | null} [trait]
 * @property {number | null} [tint]
 * @property {string} [name]
 */

/** An act before its time is known. @typedef {Omit<Act, "t">} Deed */

/**
 * An explanation mark: a group of cells that a sentence points at. Never mixed with claims.
 * @typedef {{group: string, cells: readonly number[], role: Role}} Mark
 */

/** A written act that can be taken back. @typedef {{t: number, before: Claims, after: Claims}} Written */

/**
 * Everything that the board knows; `render` draws it and `transitions` change it.
 * @typedef {object} State
 * @property {number} size rows, columns and digits
 * @property {readonly [number, number]} step rows and columns that Page Up and Page Down go by
 * @property {readonly number[]} givens printed digits, 0 where there is none
 * @property {readonly number[]} halos paper around the digit of each cell, in cell widths; 0 where nothing lies beneath
 * @property {Claims} claims what stands on the board now
 * @property {readonly Written[]} past written acts, oldest first
 * @property {readonly Written[]} future acts taken back, the next one to bring back last
 * @property {readonly number[]} selection in the order in which it was made
 * @property {number} focus the cell that keys go to
 * @property {number} anchor where an extended selection began
 * @property {Pen} pen what a digit key writes
 * @property {Pen} otherPen the pen held before, for the key that swaps
 * @property {string} entry figures typed so far of a sum, or "0" where ten is to be added
 * @property {readonly Mark[]} marks explanation marks
 * @property {readonly number[]} breaks cells shown as breaking a rule, only after being asked for
 * @property {boolean} locked whether nothing may be written
 */

/**
 * What the printed picture is laid out like; lengths are in page units.
 * @typedef {object} Frame
 * @property {number} size cells across
 * @property {number} unit width of a cell
 * @property {{above: number, right: number, below: number, left: number}} margins room outside the grid, in cells
 */

/**
 * What the board tells its page.
 * @typedef {object} Told
 * @property {(deeds: Deed[], state: State) => void} [wrote] something was written, undone or redone
 * @property {(state: State, before: State) => void} [changed] anything changed
 * @property {(wish: string, state: State) => void} [wished] a key for the page was pressed: a name of KEYS
 */

export {};
