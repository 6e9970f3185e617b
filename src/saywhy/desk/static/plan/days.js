/** Days and months as plain values: no clock of this machine has a part in them. */

/**
 * @typedef {object} Place
 * @property {string} day @property {string} time @property {"stands" | "planned" | "empty"} state
 * @property {boolean} pinned @property {string} puzzle @property {string} title @property {string} setter
 * @property {string} band @property {number} level @property {string[]} families @property {string[]} why
 */
/** @typedef {{day: string, number: number, place: Place | null}} Day */
/** @typedef {{name: string, title: string, weeks: (Day | null)[][]}} Month */

export const WEEKDAYS = ["Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday", "Sunday"];
const MONTHS = ["January", "February", "March", "April", "May", "June", "July", "August", "September", "October", "November", "December"];

/** @param {string} day */
const parts = (day) => /** @type {[number, number, number]} */ (day.split("-").map(Number));
/** @param {number} year @param {number} month from 1 @param {number} day */
const iso = (year, month, day) => new Date(Date.UTC(year, month - 1, day)).toISOString().slice(0, 10);

/** Give the day so many days on. @param {string} day @param {number} by */
export function later(day, by) {
  const [year, month, date] = parts(day);
  return iso(year, month, date + by);
}

/** Give the weekday, Monday 0. @param {string} day */
export function weekday(day) {
  const [year, month, date] = parts(day);
  return (new Date(Date.UTC(year, month - 1, date)).getUTCDay() + 6) % 7;
}

/** Give a day as people say it. @param {string} day */
export function said(day) {
  const [year, month, date] = parts(day);
  return `${WEEKDAYS[weekday(day)]} ${date} ${MONTHS[month - 1]} ${year}`;
}

/** Give the same day of another month, or its last. @param {string} day @param {number} by months */
export function monthOn(day, by) {
  const [year, month, date] = parts(day);
  const [toYear, toMonth] = parts(iso(year, month + by, 1));
  const last = Number(iso(toYear, toMonth + 1, 0).slice(8));
  return iso(toYear, toMonth, Math.min(date, last));
}

/** Give the months that hold these places, week by week from Monday. @param {readonly Place[]} places @returns {Month[]} */
export function months(places) {
  const byDay = new Map(places.map((place) => [place.day, place]));
  const names = [...new Set(places.map((place) => place.day.slice(0, 7)))].sort();
  return names.map((name) => {
    const first = `${name}-01`;
    const [year, month] = parts(first);
    /** @type {(Day | null)[]} */
    const cells = Array(weekday(first)).fill(null);
    for (let day = first; day.startsWith(name); day = later(day, 1)) {
      cells.push({ day, number: Number(day.slice(8)), place: byDay.get(day) ?? null });
    }
    while (cells.length % 7) cells.push(null);
    const weeks = Array.from({ length: cells.length / 7 }, (_, week) => cells.slice(7 * week, 7 * week + 7));
    return { name, title: `${MONTHS[month - 1]} ${year}`, weeks };
  });
}
