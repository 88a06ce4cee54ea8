/* A wall to follow. */
#ifndef WALL_H
#define WALL_H

#include <stdio.h>
#include <stdlib.h>

/* A wall of pours laid a minute apart. */
static char *wall(int pours, const char *peak_within) {
    static const char air[] =
        "{\"kind\": \"convection\", \"coefficient\": \"10 W/(m^2*K)\", \"temperature\": {\"steady\": \"20 degC\"}}";
    static const char pour[] =
        "%s{\"name\": \"pour %d\", \"laid_at\": \"%d min\", \"thickness\": \"25 mm\", \"starts_at\": \"20 degC\","
        " \"thermal\": {\"density\": \"1.1 g/mL\", \"specific_heat\": \"1900 J/(kg*K)\","
        " \"conductivity\": \"0.17 W/(m*K)\"}, \"cure\": {\"gel_at\": \"5 %%\", \"kinetics\": {"
        "\"law\": {\"model\": \"kamal_sourour\", \"m\": 0.85, \"n\": 1.5,"
        " \"k1\": {\"factor\": \"4e-6 1/s\", \"activation_energy\": \"70 kJ/mol\", \"at\": \"20 degC\"},"
        " \"k2\": {\"factor\": \"1.22e-3 1/s\", \"activation_energy\": \"55 kJ/mol\", \"at\": \"20 degC\"}},"
        " \"heat_of_reaction\": \"350 kJ/kg\", \"seed\": \"0 %%\","
        " \"source\": {\"title\": \"chosen for this check\", \"standing\": \"invented\"}}}}";
    const size_t room = 1000 + (size_t)pours * 1000;
    char *text = (char *)malloc(room);
    size_t at = (size_t)snprintf(text, room, "{\"layers\": [");
    for (int i = 0; i < pours; i++) {
        at += (size_t)snprintf(text + at, room - at, pour, i > 0 ? ", " : "", i, i);
    }
    snprintf(text + at, room - at,
             "], \"first_face\": %s, \"last_face\": %s, \"duration\": \"3 h\", \"most_cells\": 20000,"
             " \"peak_within\": \"%s\"}",
             air, air, peak_within);
    return text;
}

#endif
