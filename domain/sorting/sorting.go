// Package sorting puts lists in order, like package slices, but compiles little
// for each type of element: the engine on the phone is sent over the air, and a
// sort of its own for each of forty types made up a twentieth of it.
package sorting

import (
	"cmp"
	"slices"
)

// By sorts a list in place. Elements that compare as equal stay in their order.
func By[T any](list []T, compare func(a, b T) int) {
	places := order(len(list), func(i, j int) int { return compare(list[i], list[j]) })
	sorted := make([]T, len(list))
	for to, from := range places {
		sorted[to] = list[from]
	}
	copy(list, sorted)
}

// Up sorts numbers or texts in place, the smallest first.
func Up[T cmp.Ordered](list []T) { By(list, cmp.Compare) }

// Keys gives the keys of a map, the smallest first.
func Keys[K cmp.Ordered, V any](m map[K]V) []K {
	list := make([]K, 0, len(m))
	for k := range m {
		list = append(list, k)
	}
	Up(list)
	return list
}

// Values gives the values of a map in order. No two should compare as equal:
// theirs would be the order of the map, which is none.
func Values[K comparable, V any](m map[K]V, compare func(a, b V) int) []V {
	if len(m) == 0 {
		return nil
	}
	list := make([]V, 0, len(m))
	for _, v := range m {
		list = append(list, v)
	}
	By(list, compare)
	return list
}

// order gives the places of n elements in order.
func order(n int, compare func(i, j int) int) []int {
	places := make([]int, n)
	for i := range places {
		places[i] = i
	}
	slices.SortStableFunc(places, compare)
	return places
}
