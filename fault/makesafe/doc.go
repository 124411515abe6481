// Package makesafe holds a make-safe record against itself: whether the three
// readings close, whether the meter showed a known source before and after them,
// whether the maker's wait had passed, whether they agree with what the layout and
// the recorded state lead to expect, and what is lacking before the next step.
//
// It takes values and returns values, and knows neither the window nor a clock.
// Volts, seconds, farads and ohms; error bounds are the limits of the meter's
// manual. It never says that anything may be touched, nor the opposite: it says
// what was recorded and what does not fit.
package makesafe
