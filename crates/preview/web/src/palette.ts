// The colours and shapes of the page. No colour says anything alone: a camera has a letter and a dash
// pattern too, a sight a shape, a zone a line of its own.
//
// The cameras' colours are the eight of M. Okabe and K. Ito, "Color Universal Design" (2008), chosen
// there to stay apart for people with any kind of colour blindness; tests measure it.

export const PAPER = "#ffffff";
export const INK = "#14181f";

/** A camera's colour, the colour of writing on it, and its dashes along a line. */
export interface Look {
  fill: string;
  ink: string;
  dash: number[];
}

const LOOKS: Look[] = [
  { fill: "#0072b2", ink: "#ffffff", dash: [] },
  { fill: "#e69f00", ink: "#14181f", dash: [14, 5] },
  { fill: "#009e73", ink: "#14181f", dash: [3, 5] },
  { fill: "#d55e00", ink: "#14181f", dash: [14, 5, 3, 5] },
  { fill: "#cc79a7", ink: "#14181f", dash: [8, 4] },
  { fill: "#56b4e9", ink: "#14181f", dash: [20, 4, 3, 4, 3, 4] },
  { fill: "#f0e442", ink: "#14181f", dash: [2, 3] },
];

/** What films the cabin, and whatever comes after the seventh camera. */
const PLAIN: Look = { fill: "#66707d", ink: "#ffffff", dash: [1, 4] };

/** The look of the camera with this number among those that film outside. */
export function look(number: number | null): Look {
  return (number === null ? undefined : LOOKS[number]) ?? PLAIN;
}

export const ALL_LOOKS: readonly Look[] = LOOKS;

export const LAND = "#efe9dc";
export const SHORE = "#8b8069";
export const ROUTE = "#6b7280";
export const ZONE = "#475569";
export const QUIET = "#4c3f91";
export const FORBIDDEN = "#a3123a";
export const GOOD = "#14532d";
export const BAD = "#9f1239";
export const NOW = "#14181f";
