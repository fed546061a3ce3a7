pragma ComponentBehavior: Bound

import QtQuick
import Crewlink.Views
import Crewlink.Ui

// What a team has used up and who is where: rows of a label and a value; a long value takes a line of its own.
Column {
    id: counts

    required property TeamLook team

    Rectangle {
        width: counts.width
        height: Theme.hairline
        color: Theme.hair
    }

    Item {
        width: 1
        height: Theme.s3
    }

    TableCount {
        width: counts.width
        label: "Time-outs"
        value: counts.team.timeOutsText
    }

    TableCount {
        width: counts.width
        label: "Substitutions"
        value: counts.team.substitutionsText
    }

    Item {
        width: counts.width
        height: 28

        Tally {
            y: Theme.s1
            used: counts.team.substitutions
            allowed: counts.team.substitutionsAllowed
            spacing: Math.min(2 * Theme.s4, (counts.width - Theme.frame * allowed) / Math.max(1, allowed - 1))
        }
    }

    TableCount {
        width: counts.width
        label: "Libero"
        value: counts.team.liberoText
    }

    TableCount {
        width: counts.width
        label: "Bench"
        value: counts.team.benchText
    }

    TableCount {
        width: counts.width
        label: "Delays, conduct"
        value: counts.team.conductText
    }
}
