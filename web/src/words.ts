// Counts and lists in words, as a book has them.

const small = [
  "no",
  "one",
  "two",
  "three",
  "four",
  "five",
  "six",
  "seven",
  "eight",
  "nine",
  "ten",
  "eleven",
  "twelve",
  "thirteen",
  "fourteen",
  "fifteen",
  "sixteen",
  "seventeen",
  "eighteen",
  "nineteen",
];
const tens = ["twenty", "thirty", "forty", "fifty", "sixty", "seventy", "eighty", "ninety"];

/** inWords writes a number below a hundred in letters; others stay in figures. */
export function inWords(n: number): string {
  if (!Number.isInteger(n) || n < 0 || n > 99) return String(n);
  if (n < 20) return small[n]!;
  const t = tens[Math.floor(n / 10) - 2]!;
  return n % 10 ? `${t}-${small[n % 10]}` : t;
}

/** count words a number of things: two plates, 24 plates from a hundred on in figures. */
export function count(n: number, one: string, many = `${one}s`): string {
  return `${inWords(n)}\u00a0${n === 1 ? one : many}`;
}

/** capital begins a sentence. */
export const capital = (s: string) => s.charAt(0).toUpperCase() + s.slice(1);

/** list joins: a, b and c. */
export function list(items: string[]): string {
  if (items.length < 2) return items[0] ?? "";
  return `${items.slice(0, -1).join(", ")} and ${items.at(-1)}`;
}

/** many makes the plural of a piece's name: bee, bees; person's names often end in a word that takes an s. */
export function many(noun: string): string {
  if (/(s|x|ch|sh)$/i.test(noun)) return noun;
  if (/(lea|loa|shel)f$/i.test(noun)) return `${noun.slice(0, -1)}ves`;
  if (/[^aeiou]y$/i.test(noun)) return `${noun.slice(0, -1)}ies`;
  return `${noun}s`;
}

export const months = [
  "January",
  "February",
  "March",
  "April",
  "May",
  "June",
  "July",
  "August",
  "September",
  "October",
  "November",
  "December",
];

/** day words a date: 14 March 2027. */
export function day(iso: string): string {
  const m = /^(\d{4})-(\d\d)-(\d\d)$/.exec(iso);
  const month = m ? months[Number(m[2]) - 1] : undefined;
  return m && month ? `${Number(m[3])}\u00a0${month}\u00a0${m[1]}` : iso;
}
