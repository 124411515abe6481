// Package circuit is the exact direct-current solution of a pack in one state:
// cells, leaks, bonds between chassis pieces, boards, meters, test resistors and
// insulation testers, by nodal analysis. On top of it Bench is a meter that
// errs as real ones do.
//
// It is the truth that an engine is checked against, and the core of training
// faults. It must therefore know nothing of hypotheses, likelihoods or
// findings, and takes from topology only which nodes are one conductor: the
// potentials are its own work. Volts, ohms, amperes.
//
// Every solution is a superposition of two parts. The base is the potential
// that cells alone give every conductor of a section, summed along a tree of
// groups. What leaks and instruments add to it is one unknown for every part
// joined by ideal cells (a supernode), so a pack of ideal cells has as many
// unknowns as sections and chassis pieces, however many groups it has. Groups
// with a resistance of their own are branches between such parts.
package circuit
