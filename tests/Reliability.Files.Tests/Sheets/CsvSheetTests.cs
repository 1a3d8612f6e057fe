using System.Text;
using Reliability.Files.Lines;
using Reliability.Files.Sheets;
using Xunit;

namespace Reliability.Files.Tests.Sheets;

public sealed class CsvSheetTests
{
    [Fact]
    public void Comments_above_the_header_are_skipped_and_lines_counted()
    {
        CsvSheet sheet = Open("# invented\n#\n\nSerial Number,Host-Model, outcome \n\"A,1\",,failed\n\n#2,\"x \"\"y\"\"\",survived\n");
        Assert.Equal(["serial_number", "host_model", "outcome"], sheet.Columns);
        Assert.Equal(4, sheet.HeaderLine);
        List<CsvRow> rows = Rows(sheet);
        Assert.Equal([5L, 7L], rows.Select(row => row.Line));
        Assert.Equal("A,1", rows[0].Values["serial_number"]);
        Assert.False(rows[0].Values.ContainsKey("host_model"));
        Assert.Equal("#2", rows[1].Values["serial_number"]);
        Assert.Equal("x \"y\"", rows[1].Values["host_model"]);
        Assert.Equal("\"A,1\",,failed", rows[0].Original);
    }

    [Fact]
    public void A_byte_order_mark_and_other_line_ends_do_no_harm()
    {
        CsvSheet sheet = Open("\uFEFFoutcome,hours\r\nfailed,5\r\n");
        Assert.Equal("outcome", sheet.Columns[0]);
        Assert.Equal("5", Assert.Single(Rows(sheet)).Values["hours"]);
    }

    [Fact]
    public void An_unclosed_quotation_mark_spoils_its_own_row_only()
    {
        CsvSheet sheet = Open("outcome,hours\nfailed,\"5\nfailed,6\n");
        List<CsvRow> rows = Rows(sheet);
        Assert.Equal(2, rows.Count);
        Assert.Contains("quotation mark", rows[0].Problem, StringComparison.Ordinal);
        Assert.Equal("failed,\"5", rows[0].Original);
        Assert.Null(rows[1].Problem);
        Assert.Equal("6", rows[1].Values["hours"]);
    }

    [Fact]
    public void A_row_of_another_length_is_a_problem_with_both_numbers()
    {
        CsvSheet sheet = Open("outcome,hours\nfailed,5,7\nfailed\n");
        Assert.Equal(
            ["the row has 3 values, the header 2 columns", "the row has 1 values, the header 2 columns"],
            Rows(sheet).Select(row => row.Problem));
    }

    [Theory]
    [InlineData("outcome,hours,outcome\n", "the column outcome stands there twice")]
    [InlineData("outcome,,hours\n", "a column has no name")]
    [InlineData("hours\n", "a test sheet needs the column outcome")]
    [InlineData("outcome,hours,weight\n", "a test sheet has no column weight. It may have: hours, outcome")]
    [InlineData("outcome;hours\nfailed;5\n", "needs the column outcome. The values seem to be set apart by another sign than a comma")]
    [InlineData("Dear colleague\nplease find\n", "a test sheet needs the column outcome")]
    public void A_header_that_does_not_fit_is_refused_with_line_and_column(string text, string expected)
    {
        FileUnusableException refusal = Assert.Throws<FileUnusableException>(() =>
        {
            CsvSheet sheet = Open("# a comment\n" + text);
            sheet.CheckColumns("a test sheet", ["outcome"], ["outcome", "hours"]);
        });
        Assert.Contains("line 2: the header does not fit: ", refusal.Message, StringComparison.Ordinal);
        Assert.Contains(expected, refusal.Message, StringComparison.Ordinal);
        Assert.EndsWith("Nothing of the file was used.", refusal.Message, StringComparison.Ordinal);
    }

    [Fact]
    public void Comments_alone_have_no_header()
    {
        Assert.EndsWith("line 2: there is no header line.", Assert.Throws<FileUnusableException>(() => Open("# only this\n")).Message, StringComparison.Ordinal);
    }

    // Bytes in memory are read without waiting for anything.
    private static CsvSheet Open(string text) =>
        CsvSheet.OpenAsync(new SourceLines(new MemoryStream(Encoding.UTF8.GetBytes(text)), "sheet.csv"), CancellationToken.None).GetAwaiter().GetResult();

    private static List<CsvRow> Rows(CsvSheet sheet) => [.. sheet.RowsAsync().ToBlockingEnumerable()];
}
