package cli

import (
	"regexp"

	"sunrill/data"
)

var (
	amount    = regexp.MustCompile(`^([^\d\s.,+-]*)\s*([\d.,]+)\s*([^\d\s.,+-]*)$`)
	perKWh    = regexp.MustCompile(`(?i)\s*(/|\ba\b|\bper\b)\s*kwh$`)
	cents     = regexp.MustCompile(`(?i)^(¢|c|ct|cts|cents?|p|pence)$`)
	wattsWord = regexp.MustCompile(`(?i)^k?wh?$`)
)

// askMoney asks for the price of a kWh, with or without its currency.
func (a *asker) askMoney() error {
	return a.each(question{key: "mains.price", text: "What does one kWh cost?", empty: "not known: no costs on the page", answer: a.setPrice,
		why: []string{"From the electricity bill, such as 0.30 EUR. One price; bands and tiers go into the file."}})
}

// setPrice takes the price of a kWh, with its currency if there is one.
func (a *asker) setPrice(text string) ([]string, error) {
	text = perKWh.ReplaceAllString(text, "")
	if text == "" {
		return nil, nil
	}
	m := amount.FindStringSubmatch(text)
	if m == nil || m[1] != "" && m[3] != "" {
		return a.set("mains.price", text)
	}
	currency := m[1] + m[3]
	switch {
	case cents.MatchString(currency):
		return nil, &data.Error{Found: text, Message: "that is a price in hundredths", Allowed: "a price in whole money, such as 0.30 EUR"}
	case wattsWord.MatchString(currency):
		return nil, &data.Error{Found: text, Message: "that is power or energy, not money", Allowed: "a price such as 0.30 EUR, or an empty answer"}
	}
	lines, err := a.set("mains.price", m[2])
	if err == nil && currency != "" {
		var more []string
		more, err = a.set("mains.currency", currency)
		lines = append(more, lines...)
	}
	return lines, err
}
