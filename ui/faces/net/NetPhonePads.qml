pragma ComponentBehavior: Bound

import QtQuick
import Crewlink.Views
import Crewlink.Ui

// The acts of the phone, two a row, the most urgent lowest. Between sets only conduct can be told of.
Grid {
    id: pads

    required property CourtView court
    required property NetState desk

    readonly property PhoneSizes sizes: Theme.phone
    readonly property bool held: pads.court.plates.hold.present
    readonly property bool pausing: pads.court.phase === "time_out"

    function word(act: string): string {
        switch (act) {
        case "pause":
            return pads.pausing ? "Time-out over" : "Time-out";
        case "subs":
            return "Substitution";
        case "conduct":
            return "Conduct";
        case "call":
            return "Call";
        case "server":
            return "Wrong server";
        default:
            return pads.held ? "Release hold" : "Hold service";
        }
    }

    columns: 2
    columnSpacing: pads.sizes.gap
    rowSpacing: 10

    Repeater {
        model: pads.desk.playing ? ["pause", "subs", "conduct", "call", "server", "hold"] : ["conduct"]

        Pad {
            required property string modelData

            objectName: "net.well." + modelData
            width: Math.floor((pads.width - pads.columnSpacing) / 2)
            height: 74
            sizes: pads.sizes
            centred: true
            labelSize: pads.sizes.small
            kind: modelData === "hold" && pads.held ? Pad.Filled : Pad.Raised
            text: pads.word(modelData)
            onActed: {
                if (modelData === "hold")
                    pads.desk.holdOrRelease();
                else if (modelData === "pause" && pads.pausing)
                    pads.court.write.endTimeOut();
                else
                    pads.desk.open(modelData);
            }
        }
    }
}
