/** What the page uses of lit-html. A function among the values hears an event. */
type Value = string | number | boolean | symbol | object | null | undefined | ((event: any) => unknown);
export declare const html: (strings: TemplateStringsArray, ...values: Value[]) => object;
export declare const svg: (strings: TemplateStringsArray, ...values: Value[]) => object;
export declare const nothing: symbol;
export declare const noChange: symbol;
export declare const render: (value: unknown, container: HTMLElement) => object;
