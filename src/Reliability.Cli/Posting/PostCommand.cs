using System.CommandLine;
using System.Globalization;
using System.Text.Encodings.Web;
using System.Text.Json;
using Grpc.Core;
using Reliability.Cli.Answers;
using Reliability.Cli.Connections;
using Reliability.Cli.Terminals;
using Reliability.Files.EventFiles;
using Reliability.Files.Times;
using Spectre.Console;

namespace Reliability.Cli.Posting;

/// <summary>Posts files of events.</summary>
internal sealed class PostCommand(CommandContext context)
{
    private static readonly JsonSerializerOptions Json = new(JsonSerializerDefaults.Web)
    {
        WriteIndented = true,
        Encoder = JavaScriptEncoder.UnsafeRelaxedJsonEscaping,
    };

    private readonly Argument<string[]> _files = new("FILE")
    {
        Description = "Files of events: JSON lines, sheets of events, sheets of lives.",
        Arity = ArgumentArity.OneOrMore,
    };

    private readonly Option<string?> _format = new("--format")
    {
        Description = $"The form of the files, where extension and header do not tell: {string.Join(", ", FileForm.All)}.",
    };

    private readonly Option<string?> _source = new("--source")
    {
        Description = "The system that posts, for rows that name none.",
    };

    private readonly Option<string?> _zone = new("--zone")
    {
        Description = "The IANA time zone of days and of times without an offset, for rows that name none.",
    };

    private readonly Option<string?> _completeFrom = new("--complete-from")
    {
        Description = "The date from which the source lists every life, ended or not, for rows that have none.",
    };

    private readonly Option<bool> _validateOnly = new("--validate-only")
    {
        Description = "Check everything, record nothing.",
    };

    /// <summary>The command.</summary>
    public Command Create()
    {
        _format.AcceptOnlyFromAmong([.. FileForm.All]);
        Command command = new("post", "Post files of events. Post a file again to go on after a break: nothing is recorded twice.")
        {
            _files, _format, _source, _zone, _completeFrom, _validateOnly,
        };
        return context.Asking(command, async (connection, parse, cancellation) =>
        {
            FileDefaults defaults = Defaults(parse);
            List<PostFile> files = [];
            try
            {
                // All files are opened before anything is posted: one with a wrong header stops the post as a whole.
                foreach (string path in parse.GetRequiredValue(_files))
                    files.Add(await PostFile.OpenAsync(path, parse.GetValue(_format), defaults, cancellation).ConfigureAwait(false));
                List<PostReport> reports = [];
                foreach (PostFile file in files)
                    reports.Add(await PostAsync(context.Terminal, connection, file, parse.GetValue(_validateOnly), cancellation).ConfigureAwait(false));
                Write(context.Terminal, reports, parse.GetValue(context.Json), parse.GetValue(_validateOnly));
                return reports.Exists(report => report.Refused > 0) ? ExitCode.Refused : ExitCode.Success;
            }
            finally
            {
                foreach (PostFile file in files)
                    await file.DisposeAsync().ConfigureAwait(false);
            }
        });
    }

    private FileDefaults Defaults(ParseResult parse)
    {
        string zoneName = parse.GetValue(_zone) ?? "";
        if (!ZoneName.TryFind(zoneName, out ZoneName zone))
            throw new UsageException($"--zone: \"{zoneName}\" is not an IANA time zone such as Europe/London.");
        string? completeFrom = parse.GetValue(_completeFrom);
        if (completeFrom is not null && !zone.TryReadFrom(completeFrom, out _, out string problem))
            throw new UsageException($"--complete-from: {problem}.");
        return new FileDefaults(parse.GetValue(_source) ?? "", zone, completeFrom);
    }

    private static async Task<PostReport> PostAsync(
        Terminal terminal, ServiceConnection connection, PostFile file, bool validateOnly, CancellationToken cancellation)
    {
        using RefusalFile refusals = new(file.File.Path, file.Events.Refusals);
        Poster poster = new(connection.History, validateOnly);
        try
        {
            if (terminal.Error.Profile.Capabilities.Interactive)
            {
                await terminal.Error.Progress().AutoClear(true).StartAsync(async progress =>
                {
                    ProgressTask task = progress.AddTask(Markup.Escape(Path.GetFileName(file.File.Path)), maxValue: file.File.LineCount);
                    await poster.PostAsync(file.Events.RowsAsync(cancellation), refusals, line => task.Value = Math.Max(task.Value, line), cancellation).ConfigureAwait(false);
                }).ConfigureAwait(false);
            }
            else
            {
                await poster.PostAsync(file.Events.RowsAsync(cancellation), refusals, _ => { }, cancellation).ConfigureAwait(false);
            }
        }
        catch (Exception failure) when (failure is RpcException or OperationCanceledException)
        {
            terminal.Complain(string.Create(CultureInfo.InvariantCulture,
                $"{file.File.Path}: broken off after {poster.Tally.Rows} rows. Post the file again to go on: nothing is recorded twice."));
            throw;
        }
        PostTally tally = poster.Tally;
        return new PostReport(file.File.Path, tally.Rows, tally.Recorded, tally.AlreadyThere, tally.Unresolved, tally.Refused,
            tally.Refused > 0 ? refusals.Path : null, poster.Revision);
    }

    private static void Write(Terminal terminal, List<PostReport> reports, bool asJson, bool validateOnly)
    {
        if (asJson)
        {
            terminal.Raw.WriteLine(JsonSerializer.Serialize(new { Files = reports }, Json));
            return;
        }
        Table table = Tables.Of("File", "Rows", validateOnly ? "Would be recorded" : "Recorded", "Already there", "Not counting yet", "Refused").Numbers(1, 2, 3, 4, 5).Whole(0);
        foreach (PostReport report in reports)
        {
            table.Row(report.File, NumberText.Count(report.Rows), NumberText.Count(report.Recorded), NumberText.Count(report.AlreadyThere),
                NumberText.Count(report.Unresolved.Values.Sum()), NumberText.Count(report.Refused));
        }
        terminal.Write(table);
        foreach ((string reason, long count) in reports.SelectMany(report => report.Unresolved)
            .GroupBy(pair => pair.Key).Select(group => (group.Key, group.Sum(pair => pair.Value))))
        {
            terminal.Line($"Not counting yet: {NumberText.Count(count)} {reason}. They count once what they rest on comes.");
        }
        foreach (PostReport report in reports.Where(report => report.RefusalFile is not null))
            terminal.Line($"Refused rows of {report.File}, with reasons: {report.RefusalFile}");
        string revision = reports.Count > 0 ? reports[^1].Revision : "";
        if (revision.Length > 0)
            terminal.Line($"Revision: {revision}");
    }
}
