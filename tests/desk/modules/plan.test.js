/** Days and months of the plan's page. */

import assert from "node:assert/strict";
import test from "node:test";

import { later, monthOn, months, said, weekday } from "../../../src/saywhy/desk/static/plan/days.js";
import { daysOff, stretch, stretchOf } from "../../../src/saywhy/desk/static/plan/stretches.js";
import { added, wishes } from "../../../src/saywhy/desk/static/plan/wishes.js";

/** @param {string} day */
const place = (day) => ({ day, time: "", state: /** @type {const} */ ("empty"), pinned: false, puzzle: "", title: "", setter: "", band: "", level: 0, families: [], why: [] });

test("a day on crosses months, years and leap days", () => {
  assert.equal(later("2026-12-31", 1), "2027-01-01");
  assert.equal(later("2028-02-28", 1), "2028-02-29");
  assert.equal(later("2027-03-01", -1), "2027-02-28");
});

test("a month on keeps the day, or takes the month's last", () => {
  assert.equal(monthOn("2026-12-15", 1), "2027-01-15");
  assert.equal(monthOn("2027-01-31", 1), "2027-02-28");
  assert.equal(monthOn("2028-03-31", -1), "2028-02-29");
});

test("1 December 2026 is a Tuesday", () => {
  assert.equal(weekday("2026-12-01"), 1);
  assert.equal(said("2026-12-01"), "Tuesday 1 December 2026");
});

test("months have whole weeks from Monday, and every day once", () => {
  const [december, january, ...others] = months([place("2026-12-04"), place("2027-01-12")]);
  assert.equal(others.length, 0);
  assert.equal(december?.title, "December 2026");
  for (const [month, days] of /** @type {const} */ ([[december, 31], [january, 31]])) {
    assert.ok(month?.weeks.every((week) => week.length === 7));
    const held = month?.weeks.flat().filter((day) => day !== null) ?? [];
    assert.deepEqual(held.map((day) => day.number), Array.from({ length: days }, (_, n) => n + 1));
    for (const week of month?.weeks ?? []) week.forEach((day, column) => day && assert.equal(weekday(day.day), column));
  }
  const standing = december?.weeks.flat().filter((day) => day?.place);
  assert.deepEqual(standing?.map((day) => day?.day), ["2026-12-04"]);
});

test("a wish is added after what the sheet says, names quoted", () => {
  const some = wishes(["easy", "so-so", "hard", "very hard"], { puzzle: "p1", setter: 'the "old" buoy', day: "2026-12-24" });
  assert.equal(added("format = 1\n\n", some["One hard a month"] ?? ""), 'format = 1\n\n[[effort]]\nin = "each month"\nbands = ["hard", "very hard"]\nleast = 1\nmost = 1\n');
  assert.match(some["A setter around a day"] ?? "", /setter = "the \\"old\\" buoy"\naround = 2026-12-24/);
});

test("stretches and days off are read and written as the sheet has them", () => {
  for (const text of ["all", "each month", "each week", "first 4", "last 12", "2026-12-01 to 2027-01-05"]) assert.equal(stretch(stretchOf(text)), text);
  assert.deepEqual(daysOff("2026-12-24 to 2027-01-02"), ["2026-12-24", "2027-01-02"]);
  assert.deepEqual(daysOff("2026-12-25"), ["2026-12-25", ""]);
});
