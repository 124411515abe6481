// Package cli is the program without a window: commands that read a file, and
// write what it says for people or as JSON. Output is written whole or not at
// all; what is wrong with the input is one line on standard error and exit 2.
//
// It owns the wording of what is printed. It computes nothing: the engine, the
// files and the layout's problems come from the packages that it calls.
package cli
