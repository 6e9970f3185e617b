/**
 * What the board says, in English. A page in another language has the same table in its own words; the
 * table is JSON, so that programs which make such pages can read it.
 */

/** @type {Record<string, string>} */
const WORDS = {
  "place": "row {row}, column {column}",
  "and": "{first} and {last}",
  "given": "given {digit}",
  "empty": "empty",
  "options": "options {digits}",
  "tie_of": "tie of {digit}",
  "sum_of": "sum {total}",
  "tint_of": "tint {tint}",
  "look": "look here, group {group}",
  "because": "reason, group {group}",
  "result": "result, group {group}",
  "breaks": "breaks a rule",
  "at_place": "{what} in {place}",
  "at_cells": "{what} in {count} cells",
  "did_tie_gone": "Tie of {digit} taken away",
  "did_erase": "Erased",
  "did_options": "Options changed",
  "did_options_to": "Options {digits}",
  "did_tie": "Tie of {digit}",
  "did_sum": "Sum {total}",
  "did_sum_gone": "Sum taken away",
  "did_trait_gone": "Traits taken away",
  "did_tint": "Tint {tint}",
  "did_tint_gone": "Tint taken away",
  "did_undo": "Undone",
  "did_redo": "Done again",
  "low": "low",
  "high": "high",
  "odd": "odd",
  "even": "even",
  "pens": "Pens",
  "pen_digit": "Digit",
  "pen_options": "Options",
  "pen_tie": "Tie",
  "pen_sum": "Sum",
  "pen_tint": "Tint",
  "digits": "Digits",
  "traits": "Traits and more",
  "add": "Add cells",
  "erase": "Erase",
  "undo": "Undo",
  "redo": "Redo",
  "write": "Write",
  "none": "none",
  "tint_name": "Tint {tint}",
  "tint_none": "No tint",
  "says_digit": "The digit of the cell.",
  "says_options": "What the cell may still be.",
  "says_tie": "The digit is in one of these cells.",
  "says_tie_first": "Select the cells that share the digit.",
  "says_sum": "Type a total, then Enter.",
  "says_sum_so_far": "= {total}, then Enter",
  "says_tint": "A tint to point with.",
  "says_ten": "Ten and …",
  "key_space": "Space",
  "key_page_up": "Page Up",
  "key_page_down": "Page Down"
};

/**
 * Say something, with its values.
 * @param {string} name @param {Record<string, string | number>} [values]
 */
export const word = (name, values = {}) => (WORDS[name] ?? name).replace(/\{(\w+)\}/g, (_, held) => String(values[held] ?? ""));
