mod at_sites;
mod by_calendar;
mod edges;
mod showing;
