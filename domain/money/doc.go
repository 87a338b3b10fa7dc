// Package money keeps amounts as whole minor units (cents, pence) and ratios as
// whole numbers. It is the only place that rounds: Amount.Times and Piece.Of.
// There are no floating-point numbers, and arithmetic that would not fit says so
// instead of wrapping round.
package money
