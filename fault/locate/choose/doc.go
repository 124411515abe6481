// Package choose finds what to do next: given weighted explanations of what has
// been seen, and actions with what they cost in minutes, it ranks the actions by
// the expected minutes until it is known what must come out.
//
// It knows explanations, labels, actions, outcomes, and nothing of packs, volts or
// leaks: it imports nothing of ours, and whoever asks says what each action would
// show. It has no clock and no randomness.
//
// # What is minimised
//
// Let b be the weights of the explanations and s what has been done. Stopping
// costs the price W of taking out the wrong thing times the chance of it,
//
//	stop(b) = W·(1 − share of the leading label),
//
// and where that share is enough, nothing else is done. Otherwise the least
// expected minutes are
//
//	V(b, s) = min( stop(b), min over a of m(a|s) + Σ_o P(o|b, s, a)·V(b after o, s after a) )
//
// over the actions a that are possible, with minutes m and outcomes o. What shares
// a label need not be told apart: only the label's share stops the search.
//
// # How
//
// To solve this takes time that grows with the number of subsets of explanations.
// Near it is a policy that always takes the most bits per minute, the bits being
// the mutual information of label and outcome: what it earns is doubt about the
// label removed, and what is left to pay for is doubt. Opening a link shows
// nothing by itself. The unit that is weighed is therefore a move: a reading with
// the change before it that makes it possible or makes it differ (with up to
// three changes where one only makes the next possible). Two changes that show
// something only together, and neither of which makes the other possible, must be
// given as one action.
//
// The policy is then improved by looking ahead. Every first action is followed to
// the end under the policy; the best few again with several moves tried at the
// first plies, and again with more, while the work lasts. A value is a sum over
// outcomes with probabilities as weights, so that a branch that has become dearer
// than the best is left at once. Each of these values is what some policy really
// costs, so that the least of them is the best bound known. Asked anew after each
// outcome, the planner searches again from there.
//
// Strings of up to 12 modules come within a thousandth of the exact optimum on
// average. Where taking out the wrong thing costs days and everything is therefore
// followed to the end, it is some 6 %, and at worst two thirds more: a decisive
// action may then give few bits for its minutes, and is tried late or not at all.
//
// # Work
//
// With A actions, R readings possible in a state and N explanations, one state
// takes A·R·N looks at an outcome. Explanations that share a label and that nothing
// tells apart in any first move are merged first, and those below a
// millionth of the weight dropped. The search beyond the first state has a budget
// of 40,000 looks, whatever the question: what it does not reach is estimated from
// bits per minute, and is marked Rough. Everything is done in the order of the
// actions' ids, and work is counted, not timed: the same question gets the same
// answer.
package choose
