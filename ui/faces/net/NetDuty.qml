pragma ComponentBehavior: Bound

import QtQuick
import Crewlink.Views
import Crewlink.Ui

// What R2 has to do next outside play, late things first, with the pad that ticks it; whose duties are late.
Item {
    id: duty

    required property CourtView court

    readonly property NetSizes sizes: Theme.net
    readonly property DutiesLook duties: duty.court.duties
    readonly property bool due: duty.duties.code !== ""
    readonly property int padWide: 182

    Words {
        visible: text !== ""
        y: -34
        size: duty.sizes.small
        bold: duty.duties.lateText !== ""
        text: duty.duties.lateText !== "" ? duty.duties.lateText : duty.duties.count > 1 ? duty.duties.count + " things to do" : ""
        color: duty.duties.lateText !== "" ? Theme.ink : Theme.dim
    }

    Words {
        visible: duty.due
        width: duty.width - duty.padWide - Theme.s5
        height: duty.height
        verticalAlignment: Text.AlignVCenter
        wrapMode: Text.WordWrap
        size: duty.sizes.body
        bold: duty.duties.late
        text: duty.duties.words
    }

    Pad {
        objectName: "net.duty.done"
        visible: duty.due
        x: duty.width - width
        width: duty.padWide
        height: duty.height
        sizes: duty.sizes
        path: Marks.answered
        text: "Done"
        arm: true
        armKey: duty.duties.code + duty.duties.team
        onActed: duty.court.tell.tick(duty.duties.code, duty.duties.team, "")
    }
}
