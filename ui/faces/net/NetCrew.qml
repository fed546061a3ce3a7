pragma ComponentBehavior: Bound

import QtQuick
import Crewlink.Views
import Crewlink.Ui

// Who writes, and the devices of this court, in place of the face. A device that is tapped shows what can be done with
// it where else stands what can be done about who writes. Narrow: one under the other.
Item {
    id: page

    required property CourtView court
    required property FaceSizes sizes
    required property bool narrow

    readonly property WriterLook writer: page.court.writer
    readonly property int wide: page.narrow ? page.width - 2 * page.sizes.margin : Math.floor((page.width - 2 * page.sizes.margin - Theme.s6) / 2)
    readonly property int step: page.sizes.target + Theme.s2
    readonly property bool small: page.width < 500
    readonly property bool crowded: page.small && !page.picked && apart.count > 0
    readonly property bool picked: page.writer.chosen !== ""

    signal closed

    Column {
        id: list

        x: page.sizes.margin
        y: Theme.s4
        width: page.wide

        Repeater {
            model: page.writer.devices

            DeviceRow {
                id: row

                required property string device
                required property bool chosen

                objectName: "net.crew.device." + row.word
                visible: (!page.narrow || !page.picked || row.chosen) && !page.crowded
                width: page.wide
                sizes: page.sizes
                filled: row.chosen
                short: page.small
                onActed: page.writer.open(row.device)
            }
        }
    }

    Column {
        id: acts

        x: page.narrow ? page.sizes.margin : page.width - page.sizes.margin - page.wide
        y: page.narrow ? list.y + list.height + Theme.s4 : Theme.s4
        width: page.wide
        spacing: Theme.s2

        Words {
            objectName: "net.crew.writer"
            width: page.wide
            wrapMode: Text.WordWrap
            size: page.sizes.strong
            bold: true
            text: page.picked ? page.writer.chosenWord + "'s device" : page.writer.text
        }

        Words {
            width: page.wide
            wrapMode: Text.WordWrap
            size: page.sizes.small
            text: page.picked ? page.writer.warning : page.writer.askingText !== "" ? page.writer.askingText : page.writer.trouble && page.writer.warning !== "" ? page.writer.warning : page.writer.sinceText + (page.writer.sinceText !== "" ? ", " : "") + page.court.savedText
            color: Theme.dim
        }

        Repeater {
            id: apart

            model: page.picked ? null : page.writer.records

            RecordLines {
                width: page.wide
                sizes: page.sizes
            }
        }

        Repeater {
            model: page.writer.offers

            OfferPad {
                width: page.wide
                height: page.sizes.target
                sizes: page.sizes
                place: "net.crew"
                strong: doing === "take"
                labelSize: page.small ? page.sizes.small : page.sizes.body
                onActed: page.writer.act(key)
            }
        }
    }

    Pad {
        objectName: "net.crew.close"
        x: page.sizes.margin
        y: page.height - Theme.s4 - height
        width: page.wide
        height: page.sizes.target
        sizes: page.sizes
        kind: Pad.Outlined
        centred: true
        text: "Back"
        onActed: {
            page.writer.open("");
            page.closed();
        }
    }
}
