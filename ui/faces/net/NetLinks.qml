pragma ComponentBehavior: Bound

import QtQuick
import Crewlink.Views
import Crewlink.Ui

// The links of a narrow rail: a count while all are in reach, else each post that is late or lost, by name.
Row {
    id: links

    required property CourtView court
    required property int size
    property bool counted: true

    readonly property bool whole: links.court.linksText.split(" of ")[0] === links.court.linksText.split(" of ")[1]

    spacing: Theme.s3

    Repeater {
        model: links.court.links

        PostLinkMark {
            size: links.size
            visible: reach === "late" || reach === "lost"
        }
    }

    Item {
        visible: links.whole
        implicitWidth: links.counted ? count.x + count.implicitWidth : links.size
        implicitHeight: links.size
        Accessible.role: Accessible.StaticText
        Accessible.name: links.court.linksText + " linked"

        Icon {
            path: Marks.linked
            size: links.size
            tone: Theme.dim
        }

        Words {
            id: count

            visible: links.counted
            x: links.size + Theme.s2
            mid: links.size / 2
            size: links.size
            text: links.court.linksText
            color: Theme.dim
        }
    }
}
