// Days are written as year-month-day; a clock is only read for the present one.
import { forLanguage, theLocale } from "./locale.js";

/** The present day where the keeper is. */
export function present() {
  const now = new Date();
  const two = (/** @type {number} */ part) => String(part).padStart(2, "0");
  return `${now.getFullYear()}-${two(now.getMonth() + 1)}-${two(now.getDate())}`;
}

/** @param {string} day */
export const dayInWords = (day) => written(day, {});

/** @param {string} day */
export const dayWithWeekday = (day) => written(day, { weekday: "long" });

/** Day and month alone, where the year is told elsewhere. @param {string} day */
export const dayInBrief = (day) => written(day, { month: "short", year: undefined });

/** @param {string} day */
export const weekdayInBrief = (day) =>
  written(day, { weekday: "long", month: "short", year: undefined });

/**
 * Making a format takes a thousand times as long as using it.
 * @param {Intl.DateTimeFormatOptions} more
 */
const formatOf = (more) =>
  forLanguage(
    `day ${theLocale()} ${Object.entries(more)}`,
    () =>
      new Intl.DateTimeFormat(theLocale(), {
        day: "numeric",
        month: "long",
        year: "numeric",
        timeZone: "UTC",
        ...more,
      }),
  );

/**
 * @param {string} day
 * @param {Intl.DateTimeFormatOptions} more
 */
function written(day, more) {
  const date = new Date(`${day}T00:00:00Z`);
  return Number.isNaN(date.getTime()) ? String(day) : formatOf(more).format(date);
}

/**
 * The day so many days after another.
 * @param {string} day
 * @param {number} count
 */
export function daysAfter(day, count) {
  const date = new Date(`${day}T00:00:00Z`);
  date.setUTCDate(date.getUTCDate() + count);
  return Number.isNaN(date.getTime()) ? day : date.toISOString().slice(0, 10);
}
