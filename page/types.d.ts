// What the engine's answers hold, for the type checker; the browser never sees it. src/live/mod.rs has the meaning.

/** mm, y up. */
type Place = [number, number];

/** Pixels of the screen. */
type Spot = {x: number, y: number};

/** What a hand is at. */
type Doing = {kind: "pan" | "move" | "handle", key?: string, handle?: any, start: Spot, moved: boolean, gesture: string, grip: Place};

/** A change that waits for its turn. */
type Waiting = {question: Record<string, any>, promise: Promise<any>, resolve: (answer: any) => void, since: number};

/** What a mend or a wish came to. */
type Sought = {answer: any, busy: boolean, cautions: boolean, wish: {key: string, text: string}};

/** A job with the files it names. */
type JobFiles = {text: string, name: string, files: Record<string, string>};

/** What becomes of a finished file, and what is said of it. */
type Use = (made: {name: string, blob: Blob}, a: HTMLAnchorElement) => string;

type Answer = {ok: boolean, turn: number, faults?: Fault[], superseded?: boolean, [more: string]: any};

type Edit = {path: string, value: unknown};

type Fault = {line?: number, column?: number, key?: string, says: string, place?: string};

type Handle = {kind: string, at: Place, path: string, about?: Place, along?: Place, per?: number, value?: number, from?: number};

type Solid = {section: string, index: number | null, name: string, kind: string, d: string, at: Place, path?: string, size?: unknown, turn?: number, handles?: Handle[]};

type Thin = {a: Place, b: Place, width: number, n: number[]};

type Drawing = {
  box: [number, number, number, number], outline: string, windows?: string, holes?: string, openings: string[], tiles: string, since?: string | null,
  drill: string, drill_radius: number, solid: Solid[], handles: Handle[], middle: {at: Place, path: string} | null, thin: Thin[],
  final: boolean, turn: number, metal?: string,
};

type Finding = {id: string, check: string, level: string, title: string, count: number, says: string, because?: string, remedy?: string | null, no_remedy?: string | null, edits?: Edit[] | null, places?: Place[], openings?: number[]};

type Field = {path: string, section: string, index: number | null, key: string, label: string, kind: string, unit?: string, least?: number, most?: number, choices?: {value: string, title: string}[], value: any, typed: any, origin: string, reason?: string, doc?: string, example?: string, needed?: boolean, advanced?: boolean};

type Part = {section: string, title: string, says: string, many: boolean, count: number};

type Group = {name: string, title: string, open?: boolean, fields: Field[], sections?: Part[]};


type CardLine = {kind: string, says?: string, label?: string, value?: string, was?: string, sum?: string, head?: string[], rows?: string[][]};

type CardSection = {title: string, lines?: CardLine[]};
