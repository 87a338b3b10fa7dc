// Command server is Fairday's server: it keeps the shoots of a folder, lets
// people join by link, and carries edits and news between their phones.
//
//	fairday serve    keep the shoots of the data folder
//	fairday demo     run an invented shoot, dated today, until it is stopped
//	fairday backup   write all there is into a file, while the server runs
//	fairday restore  make a new data folder from a backup
//	fairday verify   replay every log and say what is sound
//	fairday version  print the version
//
// A request passes through app.go (limits, headers, recovery), access.go (who is
// it) and socket.go or post.go (what do they say); runner.go is the one goroutine
// that owns a shoot. keep.go works on a whole folder. problem.go holds every error a person can meet.
package main
