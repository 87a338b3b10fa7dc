// Command server is Fairday's server: it keeps the shoots of a folder, lets
// people join by link, and carries edits and news between their phones.
//
//	fairday serve    keep the shoots of the data folder
//	fairday demo     run an invented shoot, dated today, until it is stopped
//	fairday example  print a plan file with comments
//	fairday owner    print a link for an owner
//	fairday shoots   list the shoots
//	fairday archive  put a shoot away, or bring it back
//	fairday delete   delete a shoot for good
//	fairday backup   write all there is into a file, while the server runs
//	fairday restore  make a new data folder from a backup
//	fairday verify   replay every log and say what is sound
//	fairday version  print the version
//
// Here are the commands alone. Package web answers requests, package live runs
// the shoots and their sockets, package store keeps them.
package main
