pragma ComponentBehavior: Bound

import QtQuick
import Crewlink.Views
import Crewlink.Ui

// Why the last act was not done: an ink frame, no hue, for six seconds.
Rectangle {
    id: refusal

    required property CourtView court

    color: Theme.ground
    radius: Theme.plateRadius
    border {
        width: Theme.frame
        color: Theme.ink
    }
    Accessible.role: Accessible.AlertMessage
    Accessible.name: "Not done. " + refusal.court.refusal.sentence

    Icon {
        id: mark

        x: Theme.s4
        y: Math.round((refusal.height - height) / 2)
        path: Marks.cross
        size: Theme.net.mark
    }

    Words {
        x: mark.x + mark.width + Theme.s4
        y: Math.round((refusal.height - height) / 2)
        width: refusal.width - x - Theme.s4
        wrapMode: Text.WordWrap
        size: Theme.net.body
        bold: true
        text: refusal.court.refusal.sentence
    }
}
