/** Short texts in a row; a dot never starts a line. */
export const dots = (texts: string[]): string => texts.filter(Boolean).join('\u00a0\u00b7 ');
