pragma ComponentBehavior: Bound

import QtQuick
import Crewlink.Ui

// A team's row at a moment outside play: its texture, its letter and a few words.
Item {
    id: row

    required property string letter
    required property string words

    height: 44
    Accessible.role: Accessible.ListItem
    Accessible.name: "Team " + row.letter + ", " + row.words

    TeamBand {
        y: 10
        width: 24
        height: 24
        letter: row.letter
        outlined: true
    }

    Words {
        x: 40
        mid: 22
        size: Theme.table.body
        bold: true
        text: row.letter
    }

    Words {
        x: 72
        mid: 22
        size: Theme.table.body
        text: row.words
        color: Theme.dim
    }
}
