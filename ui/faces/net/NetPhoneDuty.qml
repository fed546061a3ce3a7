pragma ComponentBehavior: Bound

import QtQuick
import Crewlink.Views
import Crewlink.Ui

// What R2 has to do next outside play, with the pad that ticks it.
Item {
    id: duty

    required property DutiesLook duties
    required property Tell tell

    readonly property PhoneSizes sizes: Theme.phone

    Words {
        width: duty.width
        wrapMode: Text.WordWrap
        size: duty.sizes.small
        bold: duty.duties.late
        text: duty.duties.words
    }

    Pad {
        objectName: "net.duty.done"
        y: duty.height - height
        width: duty.width
        height: 72
        sizes: duty.sizes
        centred: true
        path: Marks.answered
        text: "Done"
        arm: true
        armKey: duty.duties.code + duty.duties.team
        onActed: duty.tell.tick(duty.duties.code, duty.duties.team, "")
    }
}
