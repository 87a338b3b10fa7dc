// Package view turns a shoot as one person knows it into finished screens.
//
// Package day makes the near screens, which work on the phone without signal, and
// package office the far ones, which the server makes for the phone to keep; here is
// what both are made of: the models of a button, a form and a mark, the Maker that
// each embeds, and the words.
//
// Make of either reads a shoot.State (some of whose planes may be nil), the person
// and the present instant, and gives a model in which every clock, length, amount, word,
// label and sentence is a string ready to paint and every button is an Action
// that is on or says why not. Whoever paints it decides nothing and computes
// nothing. The same state, person and instant give the same bytes everywhere.
//
// The model types are plain structs, so that TypeScript types can be generated
// from them. A list in a model is never nil.
//
// Amounts of money are shown only where the state holds them: what the day costs
// on Overtime, in the forecast and in the wrap report; one's own pay, and what was
// asked for, to those whom the state shows it.
package view
