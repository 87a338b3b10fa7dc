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
// Amounts of money are shown on one screen only, Overtime, and only where the
// state holds the money plane.
package view
