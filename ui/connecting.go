package ui

import (
	"context"

	"halfsplit/fault/scpi"
	"halfsplit/ui/kit"
	"halfsplit/ui/sheet"
)

// meterWhoID asks the meter on the kit's page who it is.
const meterWhoID = "meter:who"

// editKit opens the description of something in the case, to be put right; "" goes
// back to something new.
func (d *Desk) editKit(id string) {
	d.kits.Leave(d.kit)
	if id == "" {
		d.setKit(d.kits.Begin(d.deps.Case, d.kit.Kind))
		d.showChips()
		return
	}
	connection := ""
	if in, ok := d.deps.Case.Instrument(id); ok {
		connection = d.connection(in)
	}
	if k, ok := d.kits.Edit(d.deps.Case, id, connection); ok {
		d.metering.failed = ""
		d.kit = k
		d.showSheet(true)
		d.showChips()
		if k.Typed() {
			d.say("It goes on with what was typed before.")
			return
		}
		d.say("Put " + id + " right. Its earlier description stays in the history.")
	}
}

// recordKit records what is described and names it. The connection is kept beside
// the case.
func (d *Desk) recordKit(k *kit.Draft) (name string, err error) {
	switch k.Kind {
	case kit.Resistor:
		r, err := k.Resistor()
		if err != nil {
			return "", err
		}
		if k.Of == "" {
			return r.ID, d.store.AddResistor(r)
		}
		was, _ := d.deps.Case.Resistor(k.Of)
		r.ID, r.Extra = k.Of, was.Extra
		return r.ID, d.store.ReviseResistor(r)
	case kit.Proof:
		list, err := k.Provings(d.deps.Case, d.now())
		if err != nil {
			return "", err
		}
		return "proving of " + list[0].Instrument, d.store.AddProvings(list)
	}
	in, err := k.Instrument()
	if err != nil {
		return "", err
	}
	address, has := k.Connection()
	if address != "" {
		if _, err := scpi.ParseAddress(address); err != nil {
			*k = k.OnConnection()
			return "", err
		}
	}
	if k.Of == "" {
		err = d.store.AddInstrument(in)
	} else {
		was, _ := d.deps.Case.Instrument(k.Of)
		in = k.Over(was, in)
		err = d.store.ReviseInstrument(in)
	}
	if err == nil && has && address != d.connection(in) {
		d.connect(in, address)
	}
	return in.ID, err
}

// kitNotes are what stands below the fields: what a connection means, and who
// answers there.
func (d *Desk) kitNotes() []sheet.Block {
	address, ok := d.kit.Connection()
	if !ok || address == "" {
		return nil
	}
	b := []sheet.Block{{Kind: sheet.Caution, Text: ties}}
	switch {
	case d.metering.cancel != nil:
		b = append(b, sheet.Block{Kind: sheet.Para, Text: "The meter at " + address + " is asked who it is. Esc cancels."})
	default:
		b = append(b, sheet.Block{Kind: sheet.Action, ID: meterWhoID, Text: "Ask who answers there (F11)", Value: d.metering.failed})
	}
	return b
}

// askMeterName asks whoever answers at the typed address for its name and what it
// reports of itself.
func (d *Desk) askMeterName() {
	text, ok := d.kit.Connection()
	if !ok || d.metering.cancel != nil {
		return
	}
	at, err := scpi.ParseAddress(text)
	if err != nil {
		d.kit.Failed = err.Error()
		d.setKit(d.kit.OnConnection())
		return
	}
	d.hangUpMeter()
	m := &d.metering
	m.meter = scpi.New(at, 0)
	ctx, cancel := context.WithCancel(context.Background())
	m.run++
	m.cancel = cancel
	run, meter := m.run, m.meter
	d.deps.Go(func() {
		said, err := meter.Identify(ctx)
		if err == nil {
			said += " answers."
			var reports []scpi.Report
			if reports, err = meter.Reports(ctx); err == nil {
				for _, r := range reports {
					said += " It reports: " + r.Text + "."
				}
			}
		}
		if err != nil {
			said += " " + err.Error() + "."
		}
		d.deps.Do(func() {
			if run != m.run || m.cancel == nil {
				return
			}
			m.cancel()
			m.cancel, m.failed = nil, said
			d.showSheet(false)
			d.say(said)
		})
	})
	d.showSheet(false)
	d.say("The meter at " + at.String() + " is asked who it is. Esc cancels.")
}
