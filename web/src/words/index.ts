// The one catalogue in use. Another language is another file of the same shape.
export { type TermName, terms, words } from './en';
