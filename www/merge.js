// What one journal has that another lacks.
/** @typedef {import("./tank.js").Journal} Journal */
/** @typedef {import("./tank.js").Entry} Entry */

/**
 * What would come of adding another journal: new entries, entries known already, readings of a day that has them
 * with another value, and answers about the tank.
 * @param {Journal} own
 * @param {Journal} other
 */
export function compared(own, other) {
  const known = new Set(own.events.map(inOrder));
  /** @type {Entry[]} */
  const added = [];
  let same = 0;
  let again = 0;
  for (const entry of other.events) {
    const { rest, differs } = unknownOf(entry, own.events);
    again += differs;
    if (known.has(inOrder(entry)) || rest === undefined) same += 1;
    else added.push(rest);
  }
  const answers = Object.entries(other.tank).filter(([fact]) => !Object.hasOwn(own.tank, fact));
  return { added, same, again, answers: Object.fromEntries(answers) };
}

/**
 * A journal with what is new in another; what it says itself stays as it is.
 * @param {Journal} other
 */
export const withNew = (other) => (/** @type {Journal} */ own) => {
  const { added, answers } = compared(own, other);
  return {
    ...own,
    ...(own.name || !other.name ? {} : { name: other.name }),
    tank: { ...answers, ...own.tank },
    events: [...own.events, ...added],
  };
};

/**
 * The values of an entry that no entry of that day has; the whole entry where it is of another kind.
 * @param {Entry} entry
 * @param {Entry[]} events
 * @returns {{ rest: Entry | undefined, differs: number }}
 */
function unknownOf(entry, events) {
  if (!entry.values) return { rest: entry, differs: 0 };
  const beside = events.filter(
    ({ on, at, event, values }) =>
      on === entry.on && at === entry.at && event === entry.event && values,
  );
  const all = Object.entries(entry.values);
  const values = all.filter(([fact, text]) => !beside.some((one) => one.values[fact] === text));
  const differs = values.filter(([fact]) => beside.some((one) => Object.hasOwn(one.values, fact)));
  const rest = values.length > 0 ? { ...entry, values: Object.fromEntries(values) } : undefined;
  return { rest, differs: differs.length };
}

/** @param {any} value @returns {string} */
function inOrder(value) {
  if (Array.isArray(value)) return `[${value.map(inOrder)}]`;
  if (value === null || typeof value !== "object") return JSON.stringify(value);
  const names = Object.keys(value).sort();
  return `{${names.map((name) => `${JSON.stringify(name)}:${inOrder(value[name])}`)}}`;
}
