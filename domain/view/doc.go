// Package view turns a shoot as one person knows it into finished screens.
//
// Make reads a shoot.State (some of whose planes may be nil), the person and the
// present instant, and gives a model in which every clock, length, amount, word,
// label and sentence is a string ready to paint and every button is an Action
// that is on or says why not. Whoever paints it decides nothing and computes
// nothing. The same state, person and instant give the same bytes everywhere.
//
// The model types are plain structs, so that TypeScript types can be generated
// from them. A list in a model is never nil.
//
// Amounts of money are shown only where the state holds them: what the day costs
// on Overtime, in the forecast and in the wrap report; one's own pay, and what was
// asked for, to those whom the state shows it. The wrap report (Report) is for the
// server to draw, so that the phone's engine does not grow by it.
package view
