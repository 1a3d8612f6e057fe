using System.CommandLine;
using System.Globalization;
using System.Text.Encodings.Web;
using System.Text.Json;
using Grpc.Core;
using Reliability.Cli.Answers;
using Reliability.Cli.Connections;
using Reliability.Cli.Terminals;
using Reliability.Files.EventFiles;
using Reliability.Files.Mappings;
using Reliability.Files.Times;
using Reliability.V1;
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

    private readonly Option<string?> _mapping = new("--mapping")
    {
        Description = "A mapping file that says how to read sheets of another system (docs/files.md).",
    };

    private readonly Option<bool> _dryRun = new("--dry-run", "--validate-only")
    {
        Description = "Check everything, record nothing: what would be refused, what would not count yet.",
    };

    /// <summary>The command.</summary>
    public Command Create()
    {
        _format.AcceptOnlyFromAmong([.. FileForm.All]);
        Command command = new("post", "Post files of events. Post a file again to go on after a break: nothing is recorded twice.")
        {
            _files, _format, _mapping, _source, _zone, _completeFrom, _dryRun,
        };
        return context.Asking(command, async (connection, parse, cancellation) =>
        {
            FileDefaults defaults = Defaults(parse);
            List<PostFile> files = [];
            try
            {
                // All files are opened before anything is posted: one with a wrong header stops the post as a whole.
                Mapping? mapping = parse.GetValue(_mapping) is string rules
                    ? await PostFile.ReadMappingAsync(rules, cancellation).ConfigureAwait(false)
                    : null;
                foreach (string path in parse.GetRequiredValue(_files))
                    files.Add(await PostFile.OpenAsync(path, parse.GetValue(_format), defaults, mapping, cancellation).ConfigureAwait(false));
                List<PostReport> reports = [];
                foreach (PostFile file in files)
                {
                    reports.Add(parse.GetValue(_dryRun)
                        ? await CheckAsync(connection, file, await HeaderAsync(parse, file, cancellation).ConfigureAwait(false), cancellation).ConfigureAwait(false)
                        : await PostAsync(context.Terminal, connection, file, cancellation).ConfigureAwait(false));
                }
                if (parse.GetValue(context.Json))
                    context.Terminal.Raw.WriteLine(JsonSerializer.Serialize(new { Files = reports }, Json));
                else
                    PostReportText.Write(context.Terminal, reports, parse.GetValue(_dryRun));
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

    /// <summary>How the service is to read a file, as this command would read it itself.</summary>
    private async Task<EventFileHeader> HeaderAsync(ParseResult parse, PostFile file, CancellationToken cancellation) => new()
    {
        FileName = Path.GetFileName(file.File.Path),
        Form = FormOf(parse.GetValue(_format)),
        Mapping = parse.GetValue(_mapping) is string rules ? await File.ReadAllTextAsync(rules, cancellation).ConfigureAwait(false) : "",
        Source = parse.GetValue(_source) ?? "",
        Zone = parse.GetValue(_zone) ?? "",
        CompleteFrom = parse.GetValue(_completeFrom) ?? "",
        ValidateOnly = true,
    };

    private static EventFileForm FormOf(string? form) => form switch
    {
        FileForm.JsonLines => EventFileForm.JsonLines,
        FileForm.EventSheet => EventFileForm.EventSheet,
        FileForm.LifeSheet => EventFileForm.LifeSheet,
        _ => EventFileForm.Unspecified,
    };

    private static async Task<PostReport> CheckAsync(
        ServiceConnection connection, PostFile file, EventFileHeader header, CancellationToken cancellation)
    {
        using RefusalFile refusals = new(file.File.Path, file.Events.Refusals);
        return await new DryRun(connection.History).RunAsync(file, header, refusals, cancellation).ConfigureAwait(false);
    }

    private static async Task<PostReport> PostAsync(
        Terminal terminal, ServiceConnection connection, PostFile file, CancellationToken cancellation)
    {
        using RefusalFile refusals = new(file.File.Path, file.Events.Refusals);
        Poster poster = new(connection.History, TimeProvider.System);
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
                $"{file.File.Path}: broken off after {NumberText.Counted(poster.Tally.Rows, "row", "rows")}. Post the file again to go on: nothing is recorded twice."));
            throw;
        }
        PostTally tally = poster.Tally;
        MappingTally? mapped = file.Events.Mapping;
        return new PostReport(file.File.Path, tally.Rows, tally.Recorded, tally.AlreadyThere, tally.Unresolved, tally.Refused,
            mapped?.Ignored ?? new Dictionary<string, long>(),
            [.. (mapped?.UnknownCodes ?? []).Select(pair => new UnknownCodeCount(pair.Key.Column, pair.Key.Table, pair.Key.Code, pair.Value))],
            tally.InFuture, tally.Refused > 0 ? refusals.Path : null, poster.Revision);
    }
}
