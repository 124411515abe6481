package lists

import "fmt"

// asks are the questions that this list leaves to a person: what has not been chosen.
// Which separator is meant can be chosen as it was found.
func (b *builder) asks() {
	ask := func(key, format string, args ...any) {
		b.p.Asks = append(b.p.Asks, Ask{key, fmt.Sprintf(format, args...)})
	}
	if _, either := findSeparator(firstLines(b.text)); either && b.m.open(AskSeparator) {
		ask(AskSeparator, "A comma stands in most lines, and it may part two columns or mark decimals. Which is it?")
	}
	if b.commas > 0 {
		ask(AskMark, "In %s a comma may mark decimals or thousands, as in 3,622. Which is it?", counted(b.commas, "value", "values"))
	}
	if b.large > 0 {
		ask(AskBare, "%s without a unit would be more volts than there can be at such a place. Are bare numbers V or mV?", counted(b.large, "value", "values"))
	}
	if b.unsure > 0 {
		ask(AskQuantity, "Resistances: by an insulation tester, by an ohmmeter, or of joints?")
	}
	if b.noBlack > 0 && b.m.Black == "" {
		ask(AskBlack, "%s no black lead. Was it on chassis?", counted(b.noBlack, "row names", "rows name"))
	}
	if b.days > 0 && b.m.Dates == FoundDates {
		ask(AskDates, "%s may have the day or the month first. Which is it?", counted(b.days, "date", "dates"))
	}
	if b.m.Indexed() && b.m.Order == nil && (b.bareIndex != nil || b.p.List != nil) {
		ask(AskOrder, "In which order does the monitor count through the pack?")
	}
	if b.m.State == "" && b.column[State] < 0 {
		ask(AskState, "In which state was this read?")
	}
}
