/** What a form of the shelf sends, without a page. */

import assert from "node:assert/strict";
import test from "node:test";

import { offsetHere, sentOf } from "../../../src/saywhy/desk/static/shelf/forms.js";

const field = (name, value, more = {}) => ({ name, value, type: "text", checked: false, dataset: {}, ...more });
const form = (...elements) => ({ elements });
const summer = () => "+02:00";

test("fields go by name, boxes as yes or no, of radios the chosen one", () => {
  const sent = sentOf(
    form(
      field("title", "Low tide"),
      field("remarks", ""),
      field("permission", "asked", { type: "radio" }),
      field("permission", "granted", { type: "radio", checked: true }),
      field("unplan", "on", { type: "checkbox" }),
      field("pinned", "on", { type: "checkbox", checked: true }),
      field("", "a button"),
    ),
    summer,
  );
  assert.deepEqual(sent, { title: "Low tide", remarks: "", permission: "granted", unplan: false, pinned: true });
});

test("a time of day joins its day with the offset of that moment, or with its own", () => {
  const day = field("airs", "2026-07-01");
  const time = (value, more = {}) => field("airs-time", value, { dataset: { timeOf: "airs", ...more } });
  assert.deepEqual(sentOf(form(day, time("18:00")), summer), { airs: "2026-07-01T18:00+02:00" });
  assert.deepEqual(sentOf(form(day, time("18:00", { offset: "-05:00" })), summer), { airs: "2026-07-01T18:00-05:00" });
  assert.deepEqual(sentOf(form(day, time("")), summer), { airs: "2026-07-01" });
  assert.deepEqual(sentOf(form(field("airs", ""), time("18:00")), summer), { airs: "" });
});

test("a recording that is chosen says how it was solved, and none says nothing", () => {
  const how = field("how", "blind", { type: "radio", checked: true });
  const list = (value) => field("recording", value, { dataset: { or: "how" } });
  assert.deepEqual(sentOf(form(list("abc"), how), summer), { recording: "abc" });
  assert.deepEqual(sentOf(form(list(""), how), summer), { how: "blind" });
});

test("the offset of a moment here is one that RFC 3339 knows", () => {
  assert.match(offsetHere("2026-12-01T18:00"), /^[+-]\d\d:\d\d$/);
});
