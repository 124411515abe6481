package scpi

import (
	"fmt"
	"net"
	"strconv"
	"strings"
	"unicode"
)

// An Address is where a meter is connected.
type Address struct {
	Host   string // host:port of TCP; "" = a serial device
	Device string // path or name of the serial device
	Baud   int    // of the serial device
}

const (
	example  = "write tcp://192.0.2.7:5025, or a serial device and its baud such as /dev/ttyUSB0 9600"
	mostBaud = 4_000_000
)

// ParseAddress reads what a person typed: tcp://host:port, or a serial device, a
// space and the baud rate. The baud rate is the meter's own and has no default.
func ParseAddress(text string) (Address, error) {
	text = strings.TrimSpace(text)
	if text == "" {
		return Address{}, fmt.Errorf("nothing was typed: %s", example)
	}
	for _, r := range text {
		if unicode.IsControl(r) {
			return Address{}, fmt.Errorf("%q has a character that cannot be printed: %s", text, example)
		}
	}
	if scheme, _, ok := strings.Cut(text, "://"); ok {
		return parseTCP(scheme, text)
	}
	i := strings.LastIndexAny(text, " \t")
	if i < 0 {
		return Address{}, fmt.Errorf("%q has no baud rate: %s", text, example)
	}
	device, word := strings.TrimSpace(text[:i]), text[i+1:]
	baud, err := strconv.Atoi(word)
	if err != nil || baud < 50 || baud > mostBaud {
		return Address{}, fmt.Errorf("%q is not a baud rate: %s", word, example)
	}
	return Address{Device: device, Baud: baud}, nil
}

func parseTCP(scheme, text string) (Address, error) {
	if !strings.EqualFold(scheme, "tcp") {
		return Address{}, fmt.Errorf("%q begins with %s://, and this program connects by tcp:// alone: %s", text, scheme, example)
	}
	rest := strings.TrimSuffix(text[len(scheme)+len("://"):], "/")
	host, port, err := net.SplitHostPort(rest)
	if err != nil && strings.LastIndex(rest, ":") <= strings.LastIndex(rest, "]") {
		return Address{}, fmt.Errorf("%q has no port: %s", text, example)
	}
	if err != nil || strings.ContainsAny(host, "/@?#[] \t") {
		return Address{}, fmt.Errorf("%q is not a host and a port: %s", text, example)
	}
	if host == "" {
		return Address{}, fmt.Errorf("%q names no host: %s", text, example)
	}
	n, err := strconv.Atoi(port)
	if err != nil || n < 1 || n > 65535 {
		return Address{}, fmt.Errorf("%q has no port between 1 and 65535: %s", text, example)
	}
	return Address{Host: net.JoinHostPort(host, strconv.Itoa(n))}, nil
}

// String is the address as ParseAddress reads it.
func (a Address) String() string {
	switch {
	case a.Host != "":
		return "tcp://" + a.Host
	case a.Device != "":
		return a.Device + " " + strconv.Itoa(a.Baud)
	}
	return ""
}
