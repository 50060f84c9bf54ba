/* Stands here empty while pages are being worked on, and where another site builder made them.
 * A published handbook has in its place what keeps it on the device for reading without a signal. */
