pragma ComponentBehavior: Bound

import QtQuick
import Crewlink.Views
import Crewlink.Ui

// In the tray while the one who writes is missing, or this device can't save: what it is and the one act that helps.
// Ink and no hue: it is no notice.
Item {
    id: trouble

    required property CourtView court
    required property NetState desk
    required property FaceSizes sizes

    readonly property WriterLook writer: trouble.court.writer
    readonly property bool unsaved: trouble.court.storageText !== ""
    readonly property bool small: trouble.width < 400
    readonly property int padWide: trouble.unsaved ? 0 : Math.min(300, Math.round(trouble.width * 0.42))

    Accessible.role: Accessible.StaticText
    Accessible.name: head.text + ". " + tail.text

    Words {
        id: head

        objectName: "net.trouble.head"
        mid: trouble.height > 100 ? 24 : 18
        size: trouble.small ? trouble.sizes.small : trouble.sizes.body
        bold: true
        width: trouble.width - trouble.padWide - (trouble.padWide > 0 ? trouble.sizes.gap : 0)
        wrapMode: Text.WordWrap
        text: trouble.unsaved ? "Nothing new is saved here" : trouble.writer.askingText !== "" ? "You ask to write" : trouble.writer.text
    }

    Words {
        id: tail

        y: head.y + head.height + Theme.s1
        width: head.width
        wrapMode: trouble.unsaved ? Text.Wrap : Text.WordWrap
        size: trouble.sizes.small
        text: trouble.unsaved ? (trouble.small ? trouble.court.storageShort : trouble.court.storageText) : trouble.writer.askingText !== "" ? trouble.writer.askingText : trouble.writer.firstWarning !== "" && !trouble.small ? "too few of the others can be heard to agree" : ""
        color: Theme.dim
    }

    Pad {
        objectName: "net.trouble.act"
        visible: !trouble.unsaved && trouble.writer.firstKey !== ""
        x: trouble.width - width
        width: trouble.padWide
        height: Math.max(trouble.sizes.target, Math.min(trouble.height, 88))
        sizes: trouble.sizes
        kind: trouble.writer.askingText === "" && trouble.writer.firstWarning === "" ? Pad.Filled : Pad.Outlined
        centred: true
        labelSize: trouble.small || trouble.writer.firstWarning !== "" ? trouble.sizes.small : trouble.sizes.body
        text: trouble.writer.firstWarning !== "" ? "What now?" : trouble.writer.firstWords
        onActed: {
            if (trouble.writer.firstWarning !== "")
                trouble.desk.open("crew");
            else
                trouble.writer.act(trouble.writer.firstKey);
        }
    }
}
