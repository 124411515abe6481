package ui

import (
	"context"
	"errors"
	"slices"
	"strings"

	"halfsplit/fault"
	"halfsplit/fault/scpi"
	"halfsplit/ui/caution"
	"halfsplit/ui/entry"
	"halfsplit/ui/kit"
	"halfsplit/ui/sheet"
)

// Ids of what can be pressed about the connected meter.
const (
	askMeterID   = "meter:ask"
	meterStateID = "meter:state"
	meterSetID   = "meter:set"
)

// metering is the connected meter and the answer that it gave last. Its address is
// a setting of this workplace; that it is connected belongs to the state.
type metering struct {
	meter  *scpi.Meter
	cancel context.CancelFunc // of the question that is asked; nil = none
	run    int
	failed string            // why the last question gave nothing
	filled string            // the keystrokes that the last answer became
	about  string            // the circuit that it was read in
	value  scpi.Value        // that answer
	set    map[string]string // addresses, where nobody keeps them
	sure   bool              // to record it in the state was asked once
	other  bool              // the last question found the meter set to another function
	chose  bool              // the last answer was asked by MEAS
}

// connectionKey is what a connection is remembered by: the meter's own number where
// it is recorded, since names are given anew in every case.
func connectionKey(in fault.Instrument) string {
	if in.Serial != "" {
		return "serial " + in.Serial
	}
	return in.ID
}

// connection is the address of an instrument at this workplace, "" for none.
func (d *Desk) connection(in fault.Instrument) string {
	if d.deps.Connection != nil {
		return d.deps.Connection(connectionKey(in))
	}
	return d.metering.set[connectionKey(in)]
}

// connect keeps the address of an instrument; "" disconnects it.
func (d *Desk) connect(in fault.Instrument, address string) {
	if d.deps.SetConnection != nil {
		d.deps.SetConnection(connectionKey(in), address)
		return
	}
	if d.metering.set == nil {
		d.metering.set = map[string]string{}
	}
	d.metering.set[connectionKey(in)] = address
}

// askMeter asks the form's instrument beside the window, and fills the field with
// its answer. It never saves.
func (d *Desk) askMeter() { d.askFor(false) }

// askFor is askMeter; set lets the program set the meter to what the field takes.
func (d *Desk) askFor(set bool) {
	if d.page == kitPage {
		d.askMeterName()
		return
	}
	in, known := d.deps.Case.Instrument(d.form.Instrument)
	address := ""
	if known {
		address = d.connection(in)
	}
	switch {
	case d.metering.cancel != nil:
		d.say("The meter is being asked. Esc cancels.")
		return
	case d.page != entryPage:
		d.say("Open the entry of a reading first: Enter.")
		return
	case address == "":
		d.say("No meter is connected: set its address under Instruments (I).")
		return
	case d.form.Kind == entry.Insulation:
		d.say("A multimeter does not measure insulation: this entry takes an insulation tester's ohms.")
		return
	case d.form.Raw != "":
		d.say("The field is not empty, and is left as it is. Delete clears it, then F11 asks the meter.")
		return
	}
	at, err := scpi.ParseAddress(address)
	if err != nil {
		d.meterFailed("the address of " + in.ID + ": " + err.Error())
		return
	}
	m := &d.metering
	if m.meter == nil || m.meter.At() != at {
		d.hangUpMeter()
		m.meter = scpi.New(at, 0)
	}
	ctx, cancel := context.WithCancel(context.Background())
	m.run++
	m.cancel, m.failed, m.about = cancel, "", circuit(d.form)
	m.other, m.chose = false, false
	run, meter, wanted := m.run, m.meter, d.wanted()
	d.deps.Go(func() {
		var v scpi.Value
		var s scpi.Setting
		var err error
		read := true
		if set {
			v, err = meter.Read(ctx, wanted)
		} else {
			v, s, read, err = meter.ReadAsSet(ctx, wanted)
		}
		d.deps.Do(func() {
			if err == nil && !read {
				d.meterSetOtherwise(run, s)
				return
			}
			d.meterAnswered(run, v, s, err)
		})
	})
	d.showSheet(false)
	d.say("The meter at " + at.String() + " is asked. Esc cancels.")
}

// meterAnswered takes an answer, if it is still the one that is waited for.
func (d *Desk) meterAnswered(run int, v scpi.Value, s scpi.Setting, err error) {
	m := &d.metering
	if run != m.run || m.cancel == nil {
		return
	}
	m.cancel()
	m.cancel = nil
	keys := v.Decimal()
	if keys != "" {
		keys += d.unitKeys()
	}
	switch {
	case v.Overload > 0:
		keys = "OL"
	case v.Overload < 0:
		keys = "-OL"
	}
	f, ok := d.form, keys != ""
	for _, r := range keys {
		if f, ok = f.Type(r); !ok {
			break
		}
	}
	switch {
	case err != nil:
		d.meterFailed(err.Error())
	case d.page != entryPage || circuit(d.form) != m.about:
		d.meterFailed("the meter answered " + v.Answer + " after another place was chosen")
	case d.form.Raw != "":
		d.meterFailed("the meter answered " + v.Answer + " when something was typed already")
	case !ok:
		d.meterFailed("the meter answered " + v.Answer + ", which does not fit into the field")
	default:
		m.filled, m.value, m.chose = keys, v, !s.Known
		how := "in the field, not saved."
		if m.chose {
			how += " " + chosen
		}
		if f.Kind != entry.JointOhms {
			was := f.Range
			f.Range = d.lockedBy(f.Instrument, s)
			if was != 0 && f.Range != was {
				how += " The range that stood here is not the meter's, and is taken away."
			}
		}
		d.setForm(f)
		d.say("Answered " + v.Answer + ": " + how)
	}
}

// lockedBy is the range that an answer was read on, 0 where the meter chose it, does not
// tell it, or tells one that the instrument does not list.
func (d *Desk) lockedBy(instrument string, s scpi.Setting) float64 {
	in, ok := d.deps.Case.Instrument(instrument)
	if ok && s.Known && slices.ContainsFunc(in.Ranges, func(r fault.Range) bool { return r.Max == s.Range }) {
		return s.Range
	}
	return 0
}

const chosen = "Asked by MEAS: the meter chose its own range."

// wanted is the function that the form's field takes.
func (d *Desk) wanted() scpi.Function {
	if d.form.Kind == entry.JointOhms {
		return scpi.Ohms
	}
	return scpi.VoltsDC
}

func (d *Desk) unitKeys() string {
	if d.form.Kind == entry.JointOhms {
		return " Ω"
	}
	return " V"
}

func (d *Desk) wantedWords() string {
	if d.form.Kind == entry.JointOhms {
		return "ohms, of two wires or of four"
	}
	return "d.c. volts"
}

// meterSetOtherwise refuses a meter that is set to another function.
func (d *Desk) meterSetOtherwise(run int, s scpi.Setting) {
	m := &d.metering
	if run != m.run || m.cancel == nil {
		return
	}
	m.cancel()
	m.cancel, m.other = nil, true
	d.meterFailed("the meter is set to " + s.Words() + "; this field is " + d.wantedWords() + ". Turn it there, or press “" + setWords + "”")
}

const setWords = "Let the program set the meter"

// meterFailed says why nothing was entered.
func (d *Desk) meterFailed(why string) {
	text := strings.ToUpper(why[:1]) + why[1:] + "; nothing was entered"
	if d.form.Raw != "" {
		text += ", what was typed is still there"
	}
	d.metering.failed = text + "."
	if d.page == entryPage {
		d.showSheet(false)
		d.rollTo(entry.FieldID, 160) // and why, below it
	}
	d.say(d.metering.failed)
}

// cancelMeter ends the question; ok is false where none is asked.
func (d *Desk) cancelMeter() bool {
	m := &d.metering
	if m.cancel == nil {
		return false
	}
	m.cancel()
	m.cancel = nil
	d.showSheet(false)
	d.say("The meter is not waited for any longer. Nothing was entered.")
	return true
}

// hangUpMeter ends the connection, beside the window.
func (d *Desk) hangUpMeter() {
	m := &d.metering
	if m.cancel != nil {
		m.cancel()
		m.cancel = nil
	}
	if old := m.meter; old != nil {
		d.deps.Go(old.Close)
		m.meter = nil
	}
}

// fromMeter says of a reading that its keystrokes are the connected meter's, as long
// as nobody has changed them since.
func (d *Desk) fromMeter(r fault.Reading) fault.Reading {
	m := &d.metering
	if m.filled != "" && r.Raw == m.filled && m.about == circuit(d.form) {
		r.Answer, r.AnsweredBy = m.value.Answer, m.value.Identity
		m.filled = ""
	}
	return r
}

// interfaceOf is how a state says that a meter's interface is connected.
func interfaceOf(in fault.Instrument) string { return "interface of " + in.ID + " to a computer" }

const ties = "A connected meter ties the laptop to the measuring circuit: an isolated interface, and the laptop on battery, nothing else plugged into it."

// meterBlocks are the calibration of the form's instrument and its connection.
func (d *Desk) meterBlocks() []sheet.Block {
	in, known := d.deps.Case.Instrument(d.form.Instrument)
	if !known {
		return nil
	}
	recorded := append(d.ratingBlocks(sheet.Caution), calibrationBlock(in, d.now()))
	address := d.connection(in)
	if address == "" || d.form.Kind == entry.Insulation {
		return recorded
	}
	var b []sheet.Block
	if d.metering.failed != "" {
		b = append(b, sheet.Block{Kind: sheet.Caution, Text: d.metering.failed})
	}
	if d.metering.cancel != nil {
		b = append(b, sheet.Block{Kind: sheet.Para, Text: "The meter at " + address + " is asked. Esc cancels; the window goes on meanwhile."})
	} else {
		b = append(b, sheet.Block{Kind: sheet.Action, ID: askMeterID, Text: "Ask the connected meter (F11)", Value: "At " + address + ", for " + d.wantedWords() + ". Its answer fills the field and is not saved by itself."})
	}
	if d.metering.other && d.metering.cancel == nil && d.metering.about == circuit(d.form) {
		b = append(b, sheet.Block{Kind: sheet.Action, ID: meterSetID, Text: setWords, Value: "To " + d.wantedWords() + ", by MEAS: it then chooses its own range."})
	}
	if d.metering.chose && d.form.Raw != "" && d.form.Raw == d.metering.filled {
		b = append(b, sheet.Block{Kind: sheet.Soft, Text: chosen})
	}
	b = append(append(b, recorded...), sheet.Block{Kind: sheet.Soft, Text: ties})
	if d.pack.Known && !slices.Contains(d.pack.State.Connected, interfaceOf(in)) {
		text := "Record in the state that it is connected …"
		if d.metering.sure {
			text = "Record it: a new state begins, and what is read from now on belongs to it"
		}
		b = append(b, sheet.Block{Kind: sheet.Action, ID: meterStateID, Text: text, Value: "Not in the state " + d.pack.State.ID + " yet: “" + interfaceOf(in) + "”."})
	}
	return b
}

// ratingBlocks say where the ratings of what the form reads with do not reach the pack's
// volts, as cautions, or that they are not recorded, which stands softly below the pad.
func (d *Desk) ratingBlocks(kind sheet.Kind) []sheet.Block {
	var b []sheet.Block
	meets := caution.Meets(d.pack)
	if in, ok := d.deps.Case.Instrument(d.form.Instrument); ok {
		b = kit.Rating(in.RatingCaution(meets), len(in.Ratings) > 0)
	}
	if r, ok := d.deps.Case.Resistor(d.form.Resistor); ok && d.form.Kind == entry.WithResistor {
		b = append(b, kit.Rating(r.RatingCaution(meets), r.MaxVolts > 0)...)
	}
	return slices.DeleteFunc(b, func(k sheet.Block) bool { return k.Kind != kind })
}

// calibrationBlock tells how an instrument's calibration stands at a time.
func calibrationBlock(in fault.Instrument, at string) sheet.Block {
	if in.CalibrationAt(at) == fault.CalOverdue {
		return sheet.Block{Kind: sheet.Caution, Text: in.ID + ": " + in.CalibrationWords(at) + ". A reading is kept and marked."}
	}
	words := in.CalibrationWords(at)
	if at == "" && in.CalDue != "" {
		words = "calibration due " + in.CalDue
	}
	return sheet.Block{Kind: sheet.Soft, Text: in.ID + ": " + words + "."}
}

// recordInterface records, the second time that it is asked, the present state anew
// with the meter's interface connected.
func (d *Desk) recordInterface() {
	in, known := d.deps.Case.Instrument(d.form.Instrument)
	if !known || !d.pack.Known {
		return
	}
	if !d.metering.sure {
		d.metering.sure = true
		d.showSheet(false)
		d.say("It would begin a new state. Press once more to record it.")
		return
	}
	d.metering.sure = false
	s := d.pack.State
	s.Connected = append(slices.Clone(s.Connected), interfaceOf(in))
	s, err := d.store.RecordState(s)
	if err != nil {
		d.meterFailed(errors.Join(errors.New("the state was not recorded"), err).Error())
		return
	}
	d.afterCommand()
	d.showSheet(false)
	d.sayRecorded("The present state is " + s.ID + ", with the " + interfaceOf(in) + ".")
}
