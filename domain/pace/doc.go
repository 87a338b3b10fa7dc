// Package pace says when a day will wrap: from how long the finished shots took
// it learns how fast today runs, and from what remains it gives the chance of
// every minute the day could end at.
//
// # The model
//
// A shot, or a set-up change, planned at m minutes takes m × exp(p + e) minutes,
// to the nearest whole one. p is the log pace of the day, the same for all that
// remains; e is the shot's own, normal with mean 0 and standard deviation Pace.Shot.
// Before anything is finished p is normal with mean 0 and standard deviation
// PriorSD, and Shot is ShotSD, so that a day without news runs to plan in the
// middle. The two constants and the log scale are common practice, no source.
//
// # How the day is learned from
//
// People tap late, several at once, or not at all. So what counts is the clock on
// the wall from capture to capture, or from the first call, less meals as they
// were, pauses and waits, against the planned minutes with their changes: Taps says
// what was told, Plan.Read makes pieces of it. What stopped a day may stop it again, so
// half of the minutes of a stop that nobody planned count as slowness, and so do all
// of a shot that is made again. Taps that come together are one
// piece, and short pieces are taken together. A capture that nobody opened is as
// good as any.
//
// Each piece moves p by the normal-normal update (Gelman et al., Bayesian Data
// Analysis, 3rd ed., section 2.5), with two doubts. It may say little, because of
// a wait that nobody told of or a shot of three times its plan: its noise is a
// mixture of two normals. And the pace may have turned before it: there is one
// belief for each piece at which it may last have turned, weighed by how well it
// foretold what came after (Adams and MacKay, Bayesian online changepoint
// detection, 2007, from memory). What they believe together is p, spread wider where
// they disagree. Shot is learned from how far pieces are from what was foretold.
//
// A shot that is up and not finished says that it takes longer than it has so far,
// or that nobody has tapped: both its own rest and the pace are taken given that.
// What was worked while nothing was said to be up counts for what comes next, as
// much as people leave out openings. A meal whose time has come and that nobody has
// told of is still to come, unless the day has a gap for it with captures after it.
//
// # How the wrap is worked out
//
// For a given pace the shots are independent, so the day is a convolution of
// whole minutes, done exactly. Over the pace it is summed at equally spaced
// points of the normal, the trapezoidal rule, whose error falls exponentially with
// the spacing for such integrands (Trefethen and Weideman, SIAM Review 56, 2014).
// Gauss–Hermite nodes are few and far apart: a day of many short shots is narrow at
// each of them, and the wrap would come out as a comb. Points are as close as
// the day is narrow.
//
// Meals stop the work, at their time, in the middle of a shot if need be. They are
// left out by counting on a clock that stands still over meals; a shot that waits
// for its window moves all chance before the window to its first minute.
//
// # The same minute on every machine
//
// Additions, products, quotients and square roots are the same everywhere by
// IEEE 754 as long as the compiler does not fuse them; every product that feeds a
// sum is converted, which forbids that. math.Exp, math.Log and math.Erf are written
// in assembly on some processors and not on others, so none of them is used: the
// package has its own. What comes out is whole parts of Whole, and everything
// a Forecast says is reckoned from those in integers.
package pace
