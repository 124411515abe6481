package casebook_test

import (
	"flag"
	"fmt"
	"os"
	"path/filepath"
	"testing"

	"github.com/google/go-cmp/cmp"

	"halfsplit/fault"
	"halfsplit/fault/casebook"
)

var update = flag.Bool("update", false, "write the casebook of this format anew; never once it is released")

// heads are the newest hash in the casebook of every released format. They stay:
// what a hash covers, and how, may never change.
var heads = map[string]string{
	"testdata/v1.casebook": "ce9993ed78ae41562864c171dcd3f9f7e29b25bb905f1ac445a162515de39f2e",
	"testdata/v2.casebook": "babccfe1b5617c66ccf52eef7042f37faca04cc1ce8ec67f5266255806b92a9a",
	"testdata/v3.casebook": "905c6c44dc5ff967819fa2012fb3ba359031a1dcbc30859c852a89bb48fe6619",
	"testdata/v4.casebook": "5c9aedffcae64feec1194151ab445200c2d92f54e75aaaa79718d6b4468ac424",
	"testdata/v5.casebook": "fb28c310446e8fc6604ca5d18a8d75f6c43959747e1ba5aee2278c28fc5bee0d",
	"testdata/v6.casebook": "874c25ce54c8e7c6e96ea7708451d9d1f7732829a9b0b3a18a8879521a20f949",
	"testdata/v7.casebook": "e80d7a93110f01e4e9cbc15a7e742126dbe952f7187ce252bf0134b47683f557",
	"testdata/v8.casebook": "523d990e726bdfaa46c3b3ad625942002f3eec5f4c9455dadca07acd9b1a9c84",
	"testdata/v9.casebook": "4e74c99af3f8e86ec6f90760f7f7eaab442f4e4a4c12b21a932612c23775d071",
}

// Every released format opens, is brought up to date, and holds everything that
// furnish put in.
func TestReleased_FormatsOpen(t *testing.T) {
	if *update {
		released := "testdata/v9.casebook"
		check(t, os.MkdirAll("testdata", 0o755))
		os.Remove(released)
		b := must(casebook.Create(released, fixed())).or(t)
		furnish(t, b)
		check(t, b.Close())
	}
	for file, head := range heads {
		t.Run(file, func(t *testing.T) {
			var format int
			must(fmt.Sscanf(file, "testdata/v%d.casebook", &format)).or(t)
			path := filepath.Join(t.TempDir(), "old.casebook")
			write(t, path, read(t, file))
			b := must(casebook.Open(path, casebook.Options{NoCopies: true})).do(t, closing)
			if r := holds(t, b); r.Head != head {
				t.Errorf("head %s, want %s", r.Head, head)
			}
			all := must(b.Cases("rain")).or(t)
			if len(all) != 1 {
				t.Fatalf("%d cases", len(all))
			}
			c := theCase(t, b, all[0].ID)
			kit := format >= 7 // the descriptions, the log and the answers that came with it
			readings := 3
			if kit {
				readings = 4
				if len(c.Instruments) != 1 || !cmp.Equal(c.Instruments[0], calibrated(begun("").Instruments[0])) || c.Resistors[1].Serial != "7" {
					t.Errorf("instruments %+v, resistors %+v", c.Instruments, c.Resistors)
				}
				if len(c.Provings) != 2 || *c.Provings[0].Known != 690 || c.Provings[0].When != fault.ProvedBefore || string(c.Provings[0].Extra["later"]) != "1" || c.Provings[1].AnsweredBy != "A,B,C,D" {
					t.Errorf("provings %+v", c.Provings)
				}
				if c.Readings[3].Answer != "+9.25E+00" || c.Readings[3].AnsweredBy != "A,B,C,D" {
					t.Errorf("answered %+v", c.Readings[3])
				}
			} else if len(c.Provings) != 0 || c.Instruments[0].CalDue != "" || c.Readings[2].Answer != "" {
				t.Errorf("out of nothing: %+v", c)
			}
			if len(c.Readings) != readings || len(c.States) != 2 || c.Now != "s2" || c.Readings[1].Supersedes != "r1" || c.Readings[2].Raw != "OL" ||
				len(c.GroupVolts) != 1 || c.GroupVolts[0].Volts[1] != 3.618 || len(c.Instruments[0].Ranges) != 2 {
				t.Errorf("%+v", c)
			}
			if want := since(format, 2, 2); len(c.Noted) != want {
				t.Errorf("%d things noted, want %d", len(c.Noted), want)
			}
			if want := since(format, 3, "read twice, with new leads"); c.Readings[2].Stands != want {
				t.Errorf("r3 stands for %q, want %q", c.Readings[2].Stands, want)
			}
			if want := since(format, 4, fault.BoardsOut); c.States[1].Boards != want {
				t.Errorf("in s2 the boards are %q, want %q", c.States[1].Boards, want)
			}
			if want := since(format, 4, 12.5); c.Minutes["L1"] != want {
				t.Errorf("L1 takes %g min, want %g", c.Minutes["L1"], want)
			}
			if want := since(format, 5, 2); len(c.MakeSafe) != want {
				t.Errorf("%d entries of the make-safe record, want %d", len(c.MakeSafe), want)
			}
			if want := format >= 5; (c.States[1].Celsius != nil) != want || (c.States[1].Coolant != "") != want {
				t.Errorf("s2 is %+v", c.States[1])
			}
			if name, err := b.RedoName(all[0].ID); err != nil || name != "" {
				t.Errorf("%q, %v", name, err)
			}
			layout := must(b.LayoutOfCase(all[0].ID)).or(t).LayoutID
			photos := must(b.LayoutPhotos(layout)).or(t)
			if want := since(format, 9, 1); len(photos) != want {
				t.Errorf("%d photos under the drawing, want %d", len(photos), want)
			}
			for _, p := range photos {
				if data := must(b.PhotoBytes(p.SHA256)).or(t); string(data) != onePixel || p.Name != "from above.png" {
					t.Errorf("%+v", p)
				}
			}
			must(b.AddLayoutPhoto(layout, "side.png", snap(1), anna)).or(t)
			must(b.AddReading(all[0].ID, volts("M01+", "chassis", 1), anna)).or(t)
			five := 5.0
			check(t, b.SetMinutes(all[0].ID, "SD", &five, anna))
			must(b.RecordState(all[0].ID, fault.State{Boards: fault.BoardsOut, Coolant: fault.CoolantIn}, anna)).or(t)
			must(b.AddMakeSafe(all[0].ID, fault.MakeSafe{Item: fault.SafeLock, Text: "15"}, anna)).or(t)
			must(b.AddProvings(all[0].ID, []fault.Proving{{Instrument: "dmm", Shown: 9.1}}, anna)).or(t)
			holds(t, b)
		})
	}
}

// since is what a file of a format has that came with an earlier one, or nothing.
func since[T any](format, came int, has T) (want T) {
	if format >= came {
		want = has
	}
	return want
}

// The same commands at the same times give the same log.
func TestFurnish_SameHead(t *testing.T) {
	var heads [2]casebook.Head
	for i := range heads {
		b := must(casebook.Open(sample(t), casebook.Options{ReadOnly: true})).do(t, closing)
		heads[i] = must(b.Head()).or(t)
	}
	if heads[0] != heads[1] {
		t.Errorf("heads %v", heads)
	}
}
