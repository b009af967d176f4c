// What the engine's answers hold, for the type checker; the browser never sees it. src/live/mod.rs has the meaning.

type Edit = {path: string, value: unknown};

type Fault = {line: number, column: number, key?: string, says: string, place?: string};

type Handle = {kind: string, at: [number, number], path: string, about?: [number, number], along?: [number, number], per?: number, value?: number, from?: number};

type Solid = {section: string, index: number | null, name: string, kind: string, d: string, at: [number, number], size?: unknown, turn?: number, handles?: Handle[]};

type Finding = {id: string, check: string, level: string, title: string, count: number, says: string, because?: string, remedy?: string | null, no_remedy?: string | null, edits?: Edit[] | null, places?: [number, number][], openings?: number[]};

type Field = {path: string, section: string, index: number | null, key: string, label: string, kind: string, unit?: string, least?: number, most?: number, choices?: {value: string, title: string}[], value: any, typed: any, origin: string, reason?: string, doc?: string, example?: string, needed?: boolean, advanced?: boolean};

type Part = {section: string, title: string, says: string, many: boolean, count: number};

type Group = {name: string, title: string, open?: boolean, fields: Field[], sections?: Part[]};

