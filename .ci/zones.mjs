// Writes what a reference library makes of clocks in many time zones, from the
// tz database that it carries itself (npm: moment-timezone, MIT), for the tests
// in calc/schedule. Usage: node zones.mjs FOLDER OUT.json, where FOLDER holds
// node_modules.
//
// For each zone: changes, [moment in seconds, seconds east of UTC from then on],
// the first being that in force before the years begin; and for each day of the
// years a moment in minutes, at which the library says that it is the time of
// day of test (day * 37 % 1440 minutes after midnight); null where it says that
// clocks never show it.
import { createRequire } from "node:module";
import { join, resolve } from "node:path";
import { writeFileSync } from "node:fs";

const [folder, out] = process.argv.slice(2);
const moment = createRequire(resolve(join(folder, "x.js")))("moment-timezone");

const first = 2025;
const last = 2034;
const names = `
  Africa/Cairo Africa/Casablanca Africa/El_Aaiun Africa/Johannesburg Africa/Lagos
  America/Adak America/Anchorage America/Asuncion America/Bogota America/Chicago America/Denver America/Halifax
  America/Havana America/Los_Angeles America/Mexico_City America/Miquelon America/New_York America/Nuuk
  America/Phoenix America/Santiago America/Sao_Paulo America/Scoresbysund America/St_Johns
  Antarctica/Troll Asia/Beirut Asia/Gaza Asia/Jerusalem Asia/Kathmandu Asia/Kolkata Asia/Tehran Asia/Tokyo
  Atlantic/Azores Australia/Adelaide Australia/Brisbane Australia/Lord_Howe Australia/Sydney
  Europe/Athens Europe/Berlin Europe/Chisinau Europe/Dublin Europe/Helsinki Europe/Istanbul Europe/Lisbon
  Europe/London Europe/Moscow Pacific/Apia Pacific/Auckland Pacific/Chatham Pacific/Easter Pacific/Kiritimati
  Pacific/Norfolk UTC`.trim().split(/\s+/);

const from = Date.UTC(first, 0, 1) - 3 * 864e5;
const to = Date.UTC(last + 1, 0, 1) + 3 * 864e5;
const zones = {};
for (const name of names) {
  const zone = moment.tz.zone(name);
  const changes = [];
  let before = null;
  for (let i = 0; i < zone.untils.length; i++) {
    const begins = i === 0 ? -Infinity : zone.untils[i - 1];
    if (begins >= to || zone.untils[i] <= from) {
      continue;
    }
    const east = Math.round(-zone.offsets[i] * 60);
    if (east !== before) {
      changes.push([Math.max(begins, from) / 1000, east]);
      before = east;
    }
  }
  const moments = [];
  for (let day = 0, at = Date.UTC(first, 0, 1); at < Date.UTC(last + 1, 0, 1); day++, at += 864e5) {
    const text = new Date(at + ((day * 37) % 1440) * 6e4).toISOString().slice(0, 16);
    const got = moment.tz(text, "YYYY-MM-DDTHH:mm", name);
    moments.push(got.format("YYYY-MM-DDTHH:mm") === text ? got.valueOf() / 6e4 : null);
  }
  zones[name] = { changes, moments };
}
writeFileSync(out, JSON.stringify({ version: moment.tz.dataVersion, first, last, zones }));
