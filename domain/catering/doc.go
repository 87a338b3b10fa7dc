// Package catering counts covers: how many plates a meal needs, split by diet,
// by allergen and by both together; who is there across a meal; and how long
// food may stand.
//
// Counts do not replace asking the person and the kitchen. Hold limits are a
// caution: the local food code and the caterer decide. Food that was styled or
// held under lights is not for eating.
package catering
