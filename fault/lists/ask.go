package lists

import "fmt"

// asks are the questions that this list leaves to a person.
func (b *builder) asks() {
	ask := func(key, format string, args ...any) {
		if b.m.open(key) {
			b.p.Asks = append(b.p.Asks, Ask{key, fmt.Sprintf(format, args...)})
		}
	}
	if _, either := findSeparator(firstLines(b.text)); either {
		ask(AskSeparator, "A comma stands in most lines, and it may part two columns or mark decimals. Which is it?")
	}
	if b.commas > 0 {
		ask(AskMark, "In %s a comma may mark decimals or thousands, as in 3,622. Which is it?", counted(b.commas, "value", "values"))
	}
	if b.large > 0 && b.m.Bare == "" {
		ask(AskBare, "%s without a unit would be more volts than there can be at such a place. Are bare numbers V or mV?", counted(b.large, "value", "values"))
	}
	if b.unsure > 0 {
		ask(AskQuantity, "Resistances: by an insulation tester, by an ohmmeter, or of joints?")
	}
	if b.noBlack > 0 && b.m.Black == "" {
		ask(AskBlack, "%s no black lead. Was it on chassis?", names2(b.noBlack))
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

func names2(n int) string {
	if n == 1 {
		return "1 row names"
	}
	return fmt.Sprintf("%d rows name", n)
}
