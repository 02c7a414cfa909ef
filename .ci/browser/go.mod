// The tests of the page in a real browser, apart from go.mod so that nobody who only
// builds sunrill needs their driver or its Go.
module sunrill/browser

go 1.26

require (
	github.com/chromedp/cdproto v0.160.1
	github.com/chromedp/chromedp v0.23.1
)

require (
	github.com/gocarina/gocsv v0.0.0-20240520201108-78e41c74b4b1 // indirect
	github.com/pelletier/go-toml/v2 v2.4.3 // indirect
	golang.org/x/text v0.28.0 // indirect
)

require (
	github.com/go-json-experiment/json v0.0.0-20260213210345-44df1a37e875 // indirect
	sunrill v0.0.0
)

replace sunrill => ../..
