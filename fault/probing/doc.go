// Package probing is the arithmetic of taking readings: what repeated values of one
// thing say over time (level, a straight line, an exponential, two levels), which
// range of a meter holds both ends of a section and what mixing ranges costs, and
// what a test resistor can resolve with a given meter.
//
// Volts, ohms and seconds. It takes numbers and instruments and returns numbers; it
// knows no layout, no case, no finding, and names no place of a pack.
package probing
