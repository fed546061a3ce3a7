pragma ComponentBehavior: Bound

import QtQuick
import Crewlink.Views
import Crewlink.Ui

// The device that has been silent longest: after 5 s mark and name, after 10 s mark, name and age in bold ink. No hue.
Item {
    id: link

    required property GlanceLook glance
    property bool stacked: false

    readonly property bool lost: link.glance.linkLost
    readonly property string words: link.glance.linkWord + (link.lost && !link.stacked ? " " + link.glance.linkAge : "")

    visible: link.glance.linkWord !== ""
    width: label.x + label.width
    height: Theme.wrist.small * (link.stacked && link.lost ? 2.2 : 1)
    Accessible.role: Accessible.StaticText
    Accessible.name: link.glance.linkWord + " out of reach " + link.glance.linkAge

    Icon {
        path: Marks.unlinked
        size: Theme.wrist.small
        tone: link.lost ? Theme.ink : Theme.dim
        weight: link.lost ? 3 : 2
    }

    Words {
        id: label

        x: Theme.wrist.small + Theme.s2
        mid: Theme.wrist.small / 2
        size: Theme.wrist.small
        bold: link.lost
        text: link.words
        color: link.lost ? Theme.ink : Theme.dim
    }

    Words {
        visible: link.stacked && link.lost
        x: Math.round((link.width - width) / 2)
        mid: Theme.wrist.small * 1.7
        size: Theme.wrist.small
        bold: true
        text: link.glance.linkAge
    }
}
