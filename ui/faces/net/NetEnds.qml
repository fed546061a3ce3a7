pragma ComponentBehavior: Bound

import QtQuick
import Crewlink.Views
import Crewlink.Ui

// How a notice ended, in one tap: by this post, or as R1 signalled. It goes when the notice is over.
Item {
    id: page

    required property CourtView court
    required property NetState desk
    required property FaceSizes sizes
    property int contentX: page.sizes.margin
    property int contentWide: page.width - 2 * page.sizes.margin

    readonly property NoticeLook notice: page.court.plates.ending
    readonly property bool over: !page.notice.present

    onOverChanged: {
        if (page.over)
            page.desk.shut();
    }

    Column {
        x: page.contentX
        y: page.sizes.margin
        width: page.contentWide
        spacing: page.sizes.gap

        Words {
            width: parent.width
            wrapMode: Text.WordWrap
            size: page.sizes.title
            bold: true
            text: page.notice.kind === "set_aside" ? "What happens to them?" : page.notice.closes ? "How did it end?" : "What did R1 signal?"
        }

        Words {
            width: parent.width
            wrapMode: Text.WordWrap
            size: page.sizes.body
            text: page.notice.title + (page.notice.detail !== "" ? ": " + page.notice.detail : "")
            color: Theme.dim
        }

        Repeater {
            model: page.notice.outcomes

            Pad {
                required property string modelData
                required property int index

                objectName: "net.ends." + index
                width: page.contentWide
                height: 84
                sizes: page.sizes
                labelSize: page.sizes.body
                text: modelData.charAt(0).toUpperCase() + modelData.slice(1)
                arm: true
                armKey: page.notice.noticeId
                onActed: page.desk.ended(page.notice, modelData)
            }
        }
    }
}
