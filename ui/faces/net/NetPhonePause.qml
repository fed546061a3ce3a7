pragma ComponentBehavior: Bound

import QtQuick
import Crewlink.Views
import Crewlink.Ui

// A time-out from the phone: which team, with what it has used.
Item {
    id: page

    required property CourtView court
    required property NetState desk

    readonly property PhoneSizes sizes: Theme.phone
    readonly property int wide: page.width - 2 * page.sizes.margin

    Words {
        x: page.sizes.margin
        bl: 60
        size: page.sizes.title
        bold: true
        text: "Time-out for?"
    }

    Repeater {
        model: [page.court.leftTeam, page.court.rightTeam]

        Pad {
            required property TeamLook modelData
            required property int index

            objectName: "net.pause." + modelData.letter
            x: page.sizes.margin + index * (page.wide - width)
            y: 96
            width: Math.floor((page.wide - Theme.s3) / 2)
            height: 300
            sizes: page.sizes
            centred: true
            labelSize: page.sizes.strong
            enabled: modelData.timeOuts < modelData.timeOutsAllowed
            text: "Team " + modelData.letter
            detail: "used " + modelData.timeOutsText
            onActed: {
                page.desk.timeOut(modelData.letter);
                page.desk.shut();
            }
        }
    }

    NetPhoneCancel {
        desk: page.desk
    }
}
