// Days are written as year-month-day; a clock is only read for the present one.
const inWords = new Intl.DateTimeFormat("en-GB", {
  day: "numeric",
  month: "long",
  year: "numeric",
  timeZone: "UTC",
});
const withWeekday = new Intl.DateTimeFormat("en-GB", {
  weekday: "long",
  day: "numeric",
  month: "long",
  year: "numeric",
  timeZone: "UTC",
});

/** The present day where the keeper is. */
export function present() {
  const now = new Date();
  const two = (/** @type {number} */ part) => String(part).padStart(2, "0");
  return `${now.getFullYear()}-${two(now.getMonth() + 1)}-${two(now.getDate())}`;
}

/** @param {string} day */
export const dayInWords = (day) => written(inWords, day);

/** @param {string} day */
export const dayWithWeekday = (day) => written(withWeekday, day);

/**
 * @param {Intl.DateTimeFormat} format
 * @param {string} day
 */
function written(format, day) {
  const date = new Date(`${day}T00:00:00Z`);
  return Number.isNaN(date.getTime()) ? String(day) : format.format(date);
}
