// What the chocolate looks like: colours that colour meters give, a satin surface,
// one window. Colours are CIE L*a*b* (D65), turned into linear sRGB by CIE 15 and
// IEC 61966-2-1. The chocolates' values lie in the middle of what is measured on
// well tempered pieces (from memory, no source at hand); cocoa butter's refractive
// index is close to 1.46.
import { Color } from "three";

/** lab turns CIE L*a*b* into a three.js colour (linear sRGB inside). */
export function lab(l: number, a: number, b: number): Color {
  const fy = (l + 16) / 116;
  const inv = (t: number) => (t > 6 / 29 ? t ** 3 : ((3 * 36) / 841) * (t - 4 / 29));
  const x = 0.95047 * inv(fy + a / 500);
  const y = inv(fy);
  const z = 1.08883 * inv(fy - b / 200);
  const cut = (v: number) => Math.max(v, 0);
  return new Color(
    cut(3.2404542 * x - 1.5371385 * y - 0.4985314 * z),
    cut(-0.969266 * x + 1.8760108 * y + 0.041556 * z),
    cut(0.0556434 * x - 0.2040259 * y + 1.0572252 * z),
  );
}

export interface Matter {
  albedo: Color;
  /** The freshly cut face: duller and a little lighter. */
  cut: Color;
  roughness: number;
  /** How far light creeps into hollows, 0..1: lifts shade, tinted by the albedo. */
  through: number;
}

const matters: Record<string, Matter> = {
  dark: { albedo: lab(25.5, 12, 13), cut: lab(33, 12, 15), roughness: 0.4, through: 0.1 },
  milk: { albedo: lab(42, 16, 23), cut: lab(49, 15, 24), roughness: 0.43, through: 0.3 },
  white: { albedo: lab(84, 3, 22), cut: lab(87, 2, 19), roughness: 0.47, through: 0.6 },
};

export const matterOf = (kind: string): Matter => matters[kind] ?? matters.dark!;

/** Words in a filling's name that say its colour; the first that fits. */
const fillings: [RegExp, [number, number, number]][] = [
  [/caramel|toffee|butterscotch|maple/i, [58, 18, 46]],
  [/honey|apricot|orange|mango|passion|quince/i, [68, 14, 52]],
  [/praline|hazelnut|almond|nut|nougat|sesame|gianduja/i, [55, 9, 28]],
  [/raspberr|cherr|currant|strawberr|beet|rose/i, [36, 44, 18]],
  [/pistachio|matcha|mint|lime/i, [64, -12, 36]],
  [/lemon|vanilla|coconut|cream|yogh?urt|white/i, [86, 1, 24]],
  [/coffee|espresso|mocha|ganache|chocolate/i, [35, 12, 19]],
  [/blackberr|blueberr|plum|violet/i, [28, 24, -4]],
];

/** fillingColour guesses a filling's colour from its name; pear-flesh cream if it says none. */
export function fillingColour(name: string): Color {
  const found = fillings.find(([word]) => word.test(name))?.[1] ?? [72, 6, 34];
  return lab(...found);
}
