package main

import (
	"errors"
	"flag"
	"fmt"
	"io"
	"net"
	"net/netip"
	"net/url"
	"strings"

	"fairday/domain/when"
	"fairday/server/web"
)

const usage = `Fairday runs a stills shoot day on the phones of the people who are on it.

  fairday serve [--addr HOST:PORT] [--data FOLDER] [--import FILE [--date DAY]] [--base URL]
                [--domain NAME | --cert FILE --key FILE]
  fairday demo  [--addr HOST:PORT [--open]] [--base URL]
  fairday example
  fairday owner   [--name NAME] [--data FOLDER] [--base URL]
  fairday shoots  [--data FOLDER]
  fairday archive --shoot ID [--back] [--data FOLDER]
  fairday delete  --shoot ID [--yes] [--data FOLDER]
  fairday backup  --to FILE [--data FOLDER]
  fairday restore --from FILE --data NEW-FOLDER
  fairday verify  [--data FOLDER | --from FILE]
  fairday version

  --addr      where to listen; port 0 picks a free one (default 127.0.0.1:8080, with https :443)
  --data      the folder that keeps the shoots (default in your own data folder)
  --import    load a shoot from a plan file first, and print a join link for each person
  --date      the first shoot day of that plan, like 2026-12-01 (default as the file says)
  --name      whose link it is: an owner's who has lost theirs, or a new owner's
  --shoot     which shoot, by the id that "fairday shoots" prints
  --back      bring an archived shoot back
  --yes       delete it; without, delete says what would go and leaves it
  --to        the file that a backup goes to; the server may run meanwhile
  --from      the backup to restore, or to look at
  --restored  the data folder was put back as a copy: phones offer again what it lacks
  --base      the address that phones reach this server at, for links and codes
  --proxy     addresses of the proxies in front, like 127.0.0.1,10.0.0.0/24: only their
              X-Forwarded-For says where a phone comes from (default none)
  --domain    serve https for this name, with a certificate that is got and renewed by ACME;
              that agrees to the terms of the authority; several names with commas between
  --email     where the authority writes when something is wrong with the certificate
  --ca        the address of another authority's directory (default the usual one)
  --ca-roots  a file in PEM that says whom to trust when asking that authority
  --cert      serve https with the certificate in this file, --key has its key; both are
              taken anew when they change
  --plain     where plain http is sent on to https (default :80 when https is at port 443)
  --open      let everybody who reaches the demo act as anybody in it
  --watch     serve figures at /metrics and profiles at /debug/pprof/ there, on this machine alone
  --log       how to write the log: text or json (default text)
  --verbose   log every request as well
`

// options are what the command line asks for.
type options struct {
	command  string
	file     string // the backup
	shoot    string // id of a shoot
	back     bool   // from the archive
	yes      bool   // delete it
	name     string // of an owner, "" for one who has not said it
	addr     string
	data     string    // "" for the default folder
	plan     string    // a plan file to load first, "" for none
	date     when.Date // its first shoot day, "" for what it says
	restored bool
	verbose  bool
	watch    string         // where to serve figures and profiles, "" for nowhere
	proxies  []netip.Prefix // whose X-Forwarded-For counts
	base     *url.URL       // nil: the address the server listens at
	logStyle string
	secure   secureOptions
	open     bool // the demo may be reached from elsewhere
}

// parse reads the command line. The error is a sentence for the person who
// typed it.
func parse(args []string) (options, error) {
	var o options
	if len(args) == 0 {
		return o, errors.New("say what to do: serve, demo, example, owner, shoots, archive, delete, backup, restore, verify or version. \"fairday help\" lists the options")
	}
	o.command = args[0]
	fs := flag.NewFlagSet("fairday", flag.ContinueOnError)
	fs.SetOutput(io.Discard)
	var base, date, proxies string
	switch o.command {
	case "help", "-h", "-help", "--help":
		o.command = "help"
		return o, nil
	case "version", "example":
	case "serve", "demo":
		fs.StringVar(&o.addr, "addr", "", "")
		fs.StringVar(&base, "base", "", "")
		fs.StringVar(&o.logStyle, "log", "text", "")
		fs.BoolVar(&o.verbose, "verbose", false, "")
		if o.command == "serve" {
			fs.StringVar(&o.data, "data", "", "")
			fs.StringVar(&o.plan, "import", "", "")
			fs.StringVar(&date, "date", "", "")
			fs.StringVar(&o.watch, "watch", "", "")
			fs.StringVar(&proxies, "proxy", "", "")
			fs.BoolVar(&o.restored, "restored", false, "")
			o.secure.flags(fs)
		} else {
			fs.BoolVar(&o.open, "open", false, "")
		}
	case "owner":
		fs.StringVar(&o.data, "data", "", "")
		fs.StringVar(&base, "base", "", "")
		fs.StringVar(&o.name, "name", "", "")
		o.logStyle, o.addr = "text", "127.0.0.1:8080"
	case "shoots", "archive", "delete":
		fs.StringVar(&o.data, "data", "", "")
		if o.command != "shoots" {
			fs.StringVar(&o.shoot, "shoot", "", "")
		}
		if o.command == "archive" {
			fs.BoolVar(&o.back, "back", false, "")
		}
		if o.command == "delete" {
			fs.BoolVar(&o.yes, "yes", false, "")
		}
		o.logStyle = "text"
	case "backup", "restore", "verify":
		fs.StringVar(&o.data, "data", "", "")
		fs.StringVar(&o.file, map[bool]string{true: "to", false: "from"}[o.command == "backup"], "", "")
		o.logStyle = "text"
	default:
		return o, fmt.Errorf("there is no command %q. Use serve, demo, example, owner, shoots, archive, delete, backup, restore, verify or version; \"fairday help\" lists the options", o.command)
	}
	switch err := fs.Parse(args[1:]); {
	case errors.Is(err, flag.ErrHelp):
		o.command = "help"
		return o, nil
	case err != nil:
		return o, fmt.Errorf("%s: %v. \"fairday help\" lists the options", o.command, err)
	case fs.NArg() > 0:
		return o, fmt.Errorf("%s: %q is one word too many. \"fairday help\" lists the options", o.command, fs.Arg(0))
	case o.command == "version", o.command == "example":
		return o, nil
	case o.command == "owner":
		return o, o.check(base, "")
	case o.command != "serve" && o.command != "demo":
		return o, o.checkFiles()
	}
	if err := o.trust(proxies); err != nil {
		return o, err
	}
	if err := o.secure.check(); err != nil {
		return o, err
	}
	if o.addr == "" {
		if o.addr = "127.0.0.1:8080"; o.secure.asked() {
			o.addr = ":443"
		}
	}
	return o, o.check(base, date)
}

// trust reads the proxies.
func (o *options) trust(proxies string) error {
	for _, text := range strings.FieldsFunc(proxies, func(r rune) bool { return r == ',' }) {
		text = strings.TrimSpace(text)
		p, err := netip.ParsePrefix(text)
		if at, alone := netip.ParseAddr(text); alone == nil {
			p, err = netip.PrefixFrom(at, at.BitLen()), nil
		}
		if err != nil {
			return fmt.Errorf("serve: --proxy %q is not an address. Write for example 127.0.0.1 or 10.0.0.0/24, with commas between them", text)
		}
		o.proxies = append(o.proxies, p)
	}
	return nil
}

// checkFiles is for the commands that work on a folder.
func (o *options) checkFiles() error {
	switch {
	case (o.command == "archive" || o.command == "delete") && o.shoot == "":
		return fmt.Errorf("%s: name the shoot with --shoot; \"fairday shoots\" lists their ids", o.command)
	case o.command == "backup" && o.file == "":
		return errors.New("backup: name the file it goes to with --to")
	case o.command == "restore" && o.file == "":
		return errors.New("restore: name the backup with --from")
	case o.command == "restore" && o.data == "":
		return errors.New("restore: name a folder that does not exist yet with --data")
	case o.command == "verify" && o.file != "" && o.data != "":
		return errors.New("verify: name either a folder with --data or a backup with --from")
	}
	return nil
}

func (o *options) check(base, date string) error {
	if _, port, err := net.SplitHostPort(o.addr); err != nil || port == "" {
		return fmt.Errorf("%s: --addr %q is not HOST:PORT. Write for example 127.0.0.1:8080, or 127.0.0.1:0 for a free port", o.command, o.addr)
	}
	if o.command == "demo" && !o.open && !web.Here(o.addr) {
		return fmt.Errorf("demo: at %s everybody who reaches this machine could act as anybody of the demo, through the page /demo. Add --open if that is meant", o.addr)
	}
	if o.watch != "" {
		if err := checkWatch(o.watch); err != nil {
			return err
		}
	}
	if o.logStyle != "text" && o.logStyle != "json" {
		return fmt.Errorf("%s: --log is text or json, not %q", o.command, o.logStyle)
	}
	if date != "" {
		d, err := when.ParseDate(date)
		if err != nil || o.plan == "" {
			return fmt.Errorf("%s: --date %q goes with --import and is written like 2026-12-01", o.command, date)
		}
		o.date = d
	}
	if base == "" {
		return nil
	}
	u, err := url.Parse(strings.TrimRight(base, "/"))
	if err != nil || (u.Scheme != "http" && u.Scheme != "https") || u.Host == "" || u.Path != "" || u.RawQuery != "" || u.Fragment != "" || u.User != nil {
		return fmt.Errorf("%s: --base %q is not a web address without a path. Write for example http://192.168.1.20:8080", o.command, base)
	}
	if u.Scheme == "http" && o.secure.asked() {
		return fmt.Errorf("%s: --base %q is plain http, and the server is to speak https. Write https://", o.command, base)
	}
	o.base = u
	return nil
}
