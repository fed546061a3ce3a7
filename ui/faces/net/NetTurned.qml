pragma ComponentBehavior: Bound

import QtQuick
import Crewlink.Ui

// The teams have just changed courts.
Row {
    id: turned

    readonly property NetSizes sizes: Theme.net

    spacing: Theme.s3

    Icon {
        path: Marks.swap
        size: turned.sizes.mark
    }

    Words {
        mid: turned.sizes.mark / 2
        size: turned.sizes.body
        bold: true
        text: "Courts changed"
    }
}
