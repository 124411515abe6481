// Package chart draws what can be reached on a pack: the width of the place against
// the size of the leak, a line for every state, as a picture for paper and screens.
//
// It knows no window and computes nothing: the figures are a reach.Answer's. States
// differ by dash, by the shape of their marks and by a label at the line, so that a
// grey print tells them apart.
package chart
