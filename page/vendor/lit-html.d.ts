/** What the page uses of lit-html. */
export declare const html: (strings: TemplateStringsArray, ...values: unknown[]) => object;
export declare const svg: (strings: TemplateStringsArray, ...values: unknown[]) => object;
export declare const nothing: symbol;
export declare const noChange: symbol;
export declare const render: (value: unknown, container: HTMLElement) => object;
